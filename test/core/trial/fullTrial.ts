/** A trial file with every key of version 1. Invented car, runs and slips. */
export const fullTrial = `trial: 1
title: Smaller blower pulley
units: imperial
car:
  name: demo coupe
  weighed: { mass: 3478 lb, fuel-in-tank: 40 L, driver: out }
  driver: 82 kg
  cargo: 6 kg
  tank: 70 L
  fuel-density: 0.745 kg/L
  fuel-type: { ethanol: 10 % }
  drag-area: 0.706 m^2
  rolling-coefficient: 0.0125
  tyre-radius: 0.318 m
  gear-ratios: [3.32, 2.08, 1.43, 1.00, 0.76]
  final-drive: 3.73
  transmission: manual
  driven: rear
  wheel-inertia: 4.6 kg m^2
  engine-inertia: 0.24 kg m^2
  displacement: 3.0 L
  cylinders: 6
  redline: 6700 rpm
  boost-control: fixed-ratio
  blower: { displacement: 1.32 L, crank-pulley: 150 mm, max-rotor-speed: 16000 rpm }
  injectors: { count: 6, flow: 550 cc/min, at-pressure: 3 bar, rail: referenced }
  targets: { lambda: 0.80, leanest-lambda: 0.86, gauge-stoich: 14.7, lambda-delay: 90 ms }
  launch: { wheelbase: 2.7 m, cg-height: 0.5 m, driven-axle-share: 52 %, rpm: 3200 rpm, shift-rpm: 6500 rpm, shift-time: 0.3 s }
setups:
  - name: 74 mm pulley
    blower-pulley: 74 mm
    calibration: rev C
    map-sensor: { logged: { at-0V: 10 kPa, at-5V: 260 kPa }, fitted: { at-0V: 1.1 kPa, at-5V: 315.6 kPa } }
    changes:
      parts: [ stock pulley ]
      fasteners: [ { where: pulley bolt, size: M8, class: 8.8, torque: 25 N m } ]
      notes: [ belt new ]
    runs:
      - log: 74mm-a.csv
        when: 2026-05-02T18:20
        outing: saturday
        direction: north
        fuel-in-tank: 35 L
        air: { temperature: 22 degC, pressure: 99.2 kPa, humidity: 45 % }
        wind: 0 m/s
        grade: 0 %
        from: 120 s
        to: 5 min
        channels: { "Col 7": manifold-pressure kPa abs }
  - name: 70 mm pulley
    blower-pulley: 70 mm
    driver: 90 kg
    runs: [ { log: 70mm-a.csv, outing: saturday, fuel-in-tank: 50 %, cargo: 0 kg, air: { temperature: 24 degC, altimeter: 29.98 inHg, elevation: 610 ft, dew-point: 10 degC } } ]
calculated: { pressure-ratio: manifold_pressure / barometric_pressure }
slips:
  - setup: 74 mm pulley
    driver: 180 lb
    fuel-in-tank: 20 L
    air: { temperature: 24 degC, pressure: 99.8 kPa, humidity: 50 % }
    times: { 60ft: 2.01 s, 330ft: 5.62 s, 660ft: 8.55 s, 1000ft: 11.09 s, 1320ft: 13.24 s }
    speeds: { 660ft: 84.1 mph, 1320ft: 106.3 mph }
    log: pass.csv
`;
