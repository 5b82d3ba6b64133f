"""What an owner would otherwise write: read the logs, differentiate, bin by engine speed, write CSV. No band, no verdict, no checks.

    script.py OUT.csv LOG...
"""
import sys

import numpy
import pandas
from scipy.signal import savgol_filter

curves = []
for path in sys.argv[2:]:
    log = pandas.read_csv(path)
    time_s = log["Time (s)"].to_numpy()
    step_s = numpy.median(numpy.diff(time_s))
    speed_mps = log["Road speed (km/h)"].to_numpy() / 3.6
    acceleration = savgol_filter(speed_mps, 25, 2, deriv=1, delta=step_s)
    mass_kg = 1561.0
    drag_n = 0.5 * 1.17 * 0.655 * speed_mps**2 + 0.0118 * mass_kg * 9.81
    power_w = (1.08 * mass_kg * acceleration + drag_n) * speed_mps
    full = log["Pedal position (%)"].to_numpy() > 95
    bins = (log["Engine speed (rpm)"][full] // 100 * 100).astype(int)
    curves.append(pandas.Series(power_w[full], name=path).groupby(bins.to_numpy()).mean())
pandas.concat(curves, axis=1).to_csv(sys.argv[1], index_label="rpm")
