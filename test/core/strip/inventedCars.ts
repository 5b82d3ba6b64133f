import { type PassCar, type PassDay, type PassModel, powerTable, type UncertainDay, usualPassSpreads } from '@pullproof/core';

/** What the closed forms describe: 1600 kg pushed by 250 kW at any speed in one gear, with no losses, and grip of 0.9 of its weight. */
export const constantPowerCar: PassCar = {
  massKg: 1600,
  dragAreaM2: 0,
  rollingCoefficient: 0,
  neutralRotatingFactor: 1,
  gears: [{ rpmPerMps: 100, rotatingFactor: 1 }],
  power: powerTable([0.5, 1e5], [250e3, 250e3]),
  grip: { frictionCoefficient: 0.9, drivenShare: 1, transfer: 0 },
  launch: { engineSpeedRpm: 1, riseS: 0, stallTorqueRatio: null },
  shift: { engineSpeedRpm: 1e6, holeS: 0, returnS: 0 },
};

/** A car as a trial describes one: five gears, a measured curve, weight transfer, a clutch, shifts. */
export const gearedCar: PassCar = {
  massKg: 1600,
  dragAreaM2: 0.68,
  rollingCoefficient: 0.012,
  neutralRotatingFactor: 1.03,
  gears: [360, 225, 155, 110, 86].map((rpmPerMps) => ({ rpmPerMps, rotatingFactor: 1.03 + 5e-6 * rpmPerMps ** 2 })),
  power: powerTable([2500, 4000, 5500, 6800], [95e3, 165e3, 205e3, 200e3]),
  grip: { frictionCoefficient: 1, drivenShare: 0.53, transfer: 0.19 },
  launch: { engineSpeedRpm: 3200, riseS: 0.2, stallTorqueRatio: null },
  shift: { engineSpeedRpm: 6500, holeS: 0.3, returnS: 0.08 },
};

export const gearedModel: PassModel = { car: gearedCar, curveDensityKgPerM3: 1.16, densityExponent: 0.95, spreads: usualPassSpreads };

/** A level strip without wind, on which the clock starts with the first movement. */
export const level: PassDay = { airDensityKgPerM3: 1.2, windMps: 0, grade: 0, rollOutM: 0 };

/** The same strip as it is known by someone who has been there: the usual roll-out, and nothing exact. */
export const usualDay: UncertainDay = {
  ...level,
  airDensityKgPerM3: 1.16,
  rollOutM: 0.29,
  windSpreadMps: 0.5,
  gradeSpread: 0.0003,
  densitySpreadShare: 0.004,
  massFactor: 1,
  massSpreadShare: 0.002,
};

/** A car with a power that is the same at any engine speed. */
export const withPower = (car: PassCar, powerW: number): PassCar => ({ ...car, power: powerTable([0.5, 1e5], [powerW, powerW]) });
