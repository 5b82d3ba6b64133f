"""The same work by hand: torque of each setup as a spline, integrated through the equation of motion and fitted to the recorded engine speed of every full-load
pull; a bootstrap of 200 over pulls and residuals; the difference of wheel power with a 95 % band at each engine speed and for the whole curve. No checks of the
log, no other channel, no report.

    rival.py OUT.csv BEFORE.csv AFTER.csv

As fast as numpy makes it: all pulls, and all the parameter sets that a Jacobian needs, are integrated at once.
"""
import sys

import numpy
import pandas
from scipy.interpolate import BSpline
from scipy.linalg import lstsq

bootstraps = 200
mass_kg, rotating, drag_kg_per_m, rolling = 1561.0, 1.08, 0.5 * 1.17 * 0.655, 0.0118
steady_n = rolling * mass_kg * 9.80665
step_s = 0.05
radians = numpy.pi / 30
grid = numpy.arange(2600.0, 6401.0, 50.0)
random = numpy.random.default_rng(1)


def pulls_of(path):
    """Engine speed of every stretch of full pedal, at its own times, and engine over road speed."""
    log = pandas.read_csv(path)
    time = log["Time (s)"].to_numpy()
    rpm = log["Engine speed (rpm)"].to_numpy()
    speed = log["Road speed (km/h)"].to_numpy() / 3.6
    full = log["Pedal position (%)"].to_numpy() > 95
    edges = numpy.flatnonzero(numpy.diff(numpy.concatenate(([0], full.astype(int), [0]))))
    pulls = []
    for start, end in zip(edges[::2], edges[1::2]):
        own = slice(start, end)
        keep = ~numpy.isnan(rpm[own]) & (time[own] > time[start] + 0.3) & (time[own] < time[end - 1] - 0.2)
        if keep.sum() > 60:
            pulls.append((time[own][keep], rpm[own][keep], numpy.nanmedian(rpm[own][keep] / speed[own][keep])))
    return pulls


class Setup:
    """Parameters: log torque at the knots, then a start speed and a log factor of each pull (the first factor is 0)."""

    def __init__(self, pulls):
        self.pulls = pulls
        self.kappa = numpy.array([kappa for *_, kappa in pulls])
        inner = numpy.arange(2200.0, 6801.0, 200.0)
        self.knots = numpy.concatenate(([inner[0]] * 3, inner, [inner[-1]] * 3))
        self.size = len(inner) + 2
        self.steps = int(numpy.ceil(max(time[-1] - time[0] for time, *_ in pulls) / step_s))

    def first(self):
        return numpy.concatenate((numpy.full(self.size, numpy.log(600.0)), [rpm[:5].mean() for _, rpm, _ in self.pulls], numpy.zeros(len(self.pulls))))

    def predicted(self, sets):
        """Engine speed of every pull on common steps, for every set of parameters: classical Runge-Kutta on all at once."""
        count = len(self.pulls)
        rpm = sets[:, self.size : self.size + count].copy()
        factor = sets[:, self.size + count :]
        which = numpy.arange(len(sets))[:, None]

        def rate(rpm):
            at = numpy.clip(rpm, self.knots[0], self.knots[-1] - 1e-9)
            cell = numpy.clip(numpy.searchsorted(self.knots, at, side="right") - 1, 3, self.size - 1)
            # De Boor's algorithm on the coefficients of each set.
            d = [sets[which, cell - 3 + j] for j in range(4)]
            for r in range(1, 4):
                for j in range(3, r - 1, -1):
                    low = self.knots[cell - 3 + j]
                    alpha = (at - low) / (self.knots[cell + 1 + j - r] - low)
                    d[j] = (1 - alpha) * d[j - 1] + alpha * d[j]
            torque = numpy.exp(d[3] + factor)
            force = torque * self.kappa * radians
            return self.kappa * (force - drag_kg_per_m * (rpm / self.kappa) ** 2 - steady_n) / (mass_kg * rotating)

        path = numpy.empty((self.steps + 1, *rpm.shape))
        path[0] = rpm
        for step in range(self.steps):
            k1 = rate(rpm)
            k2 = rate(rpm + step_s / 2 * k1)
            k3 = rate(rpm + step_s / 2 * k2)
            k4 = rate(rpm + step_s * k3)
            rpm = rpm + step_s / 6 * (k1 + 2 * k2 + 2 * k3 + k4)
            path[step + 1] = rpm
        return path

    def at_readings(self, path, pull):
        time = self.pulls[pull][0]
        place = (time - time[0]) / step_s
        node = numpy.minimum(place.astype(int), self.steps - 1)
        share = (place - node)[:, None]
        return path[node, :, pull] * (1 - share) + path[node + 1, :, pull] * share

    def fit(self, start, measured, weights, rounds):
        """Gauss-Newton with a difference Jacobian, a penalty on second differences of log torque, and a weak prior on the factors."""
        parameters = start.copy()
        count = len(self.pulls)
        penalty = 15.0 * numpy.diff(numpy.eye(self.size), 2, axis=0)
        prior = numpy.eye(count) / 0.03
        move = numpy.concatenate((numpy.full(self.size, 1e-4), numpy.full(count, 0.1), numpy.full(count, 1e-4)))
        for _ in range(rounds):
            sets = numpy.vstack((parameters, parameters + numpy.diag(move)))
            path = self.predicted(sets)
            rows, right = [], []
            for pull in range(count):
                values = self.at_readings(path, pull)
                jacobian = (values[:, 1:] - values[:, :1]) / move
                scale = numpy.sqrt(weights[pull]) / 4.0
                rows.append(jacobian * scale)
                right.append((measured[pull] - values[:, 0]) * scale)
            full = numpy.zeros((len(penalty) + count, len(parameters)))
            full[: len(penalty), : self.size] = penalty
            full[len(penalty) :, self.size + count :] = prior
            rows.append(full)
            right.append(-full @ parameters)
            change = lstsq(numpy.vstack(rows), numpy.concatenate(right), lapack_driver="gelsy", check_finite=False)[0]
            parameters = parameters + change
            if numpy.abs(change[: self.size]).max() < 1e-4:
                break
        return parameters

    def power(self, parameters):
        count = len(self.pulls)
        log_torque = BSpline(self.knots, parameters[: self.size], 3)(grid) + parameters[self.size + count :].mean()
        return numpy.exp(log_torque) * grid * radians

    def run(self):
        measured = [rpm for _, rpm, _ in self.pulls]
        ones = numpy.ones(len(self.pulls))
        best = self.fit(self.first(), measured, ones, 12)
        path = self.predicted(best[None, :])
        fitted = [self.at_readings(path, pull)[:, 0] for pull in range(len(self.pulls))]
        residuals = [own - value for own, value in zip(measured, fitted)]
        curves = numpy.empty((bootstraps, len(grid)))
        for draw in range(bootstraps):
            again = [value + random.choice(left, len(left)) for value, left in zip(fitted, residuals)]
            weights = random.multinomial(len(self.pulls), ones / len(self.pulls)) + 1e-6
            curves[draw] = self.power(self.fit(best, again, weights, 3))
        return self.power(best), curves


def main():
    (before, before_draws), (after, after_draws) = (Setup(pulls_of(path)).run() for path in sys.argv[2:4])
    difference = after - before
    draws = after_draws - before_draws
    low, high = numpy.percentile(draws, [2.5, 97.5], axis=0)
    spread = draws.std(axis=0)
    largest = numpy.percentile(numpy.abs((draws - draws.mean(axis=0)) / spread).max(axis=1), 95)
    table = {"rpm": grid, "before": before, "after": after, "difference": difference, "low": low, "high": high}
    table |= {"whole_low": difference - largest * spread, "whole_high": difference + largest * spread}
    pandas.DataFrame(table).to_csv(sys.argv[1], index=False)


main()
