import type { LearnedCar, Slip } from './learnFromSlips.js';
import { carInputs, movedPass, ownInputs, type PassModel, type UncertainDay } from './passInputs.js';
import { simulatePass } from './simulatePass.js';

/** A slip in another day's air. */
export interface CarriedSlip {
  readonly elapsedTimeS: number | null;
  readonly trapMps: number | null;
  /** Part of the change of elapsed time that comes from drag, and from power, s. */
  readonly byDragS: number;
  readonly byPowerS: number;
  /** The plain rule beside it: time ∝ density^(−1/3), speed ∝ density^(1/3). */
  readonly cubeRootS: number | null;
  readonly cubeRootMps: number | null;
}

/**
 * Carries a slip's quarter mile to another day's air: drag changes with density, power with density to the engine's own exponent.
 *
 * @param slip as printed
 * @param model the car; `learned` what its slips have taught
 * @param from the slip's day; only its air density counts
 * @param to the day it is carried to; only its air density counts
 * @returns elapsed time and trap speed in the other air; null where the slip does not show them
 *
 * Validity: the launch is taken as unchanged. The plain cube-root rule differs: it forgets drag and takes every engine for one without boost control.
 *
 * @example
 * ```ts
 * import { carrySlip, powerTable, usualPassSpreads } from '@pullproof/core';
 * const car = {
 *   massKg: 1600, dragAreaM2: 0.68, rollingCoefficient: 0.012, neutralRotatingFactor: 1.03,
 *   gears: [360, 225, 155, 110].map((rpmPerMps) => ({ rpmPerMps, rotatingFactor: 1.03 + 5e-6 * rpmPerMps ** 2 })),
 *   power: powerTable([2500, 4000, 5500, 6800], [95e3, 165e3, 205e3, 200e3]),
 *   grip: { frictionCoefficient: 1, drivenShare: 0.53, transfer: 0.19 },
 *   launch: { engineSpeedRpm: 3200, riseS: 0.2, stallTorqueRatio: null }, shift: { engineSpeedRpm: 6500, holeS: 0.3, returnS: 0.08 },
 * };
 * const model = { car, curveDensityKgPerM3: 1.16, densityExponent: 0.95, spreads: usualPassSpreads };
 * const day = {
 *   airDensityKgPerM3: 1.16, windMps: 0, grade: 0, rollOutM: 0.29, windSpreadMps: 0.5, gradeSpread: 0.0003,
 *   densitySpreadShare: 0.004, massFactor: 1, massSpreadShare: 0.002,
 * };
 * const slip = { timesS: { '1320ft': 13.8 }, trapsMps: { '1320ft': 47.5 } };
 * const { elapsedTimeS, cubeRootS } = carrySlip(slip, model, day, { airDensityKgPerM3: 1.05 });
 * elapsedTimeS! > 13.8 && elapsedTimeS! < cubeRootS!; // => true
 * ```
 */
export function carrySlip(
  slip: Slip,
  model: PassModel,
  from: UncertainDay,
  to: Pick<UncertainDay, 'airDensityKgPerM3'>,
  options: { readonly learned?: LearnedCar } = {},
): CarriedSlip {
  const carZ = options.learned?.carZ ?? new Float64Array(carInputs(model).length);
  const ownZ = new Float64Array(ownInputs(model, from).length);
  const last = (of: PassModel, day: UncertainDay): { timeS: number; trapMps: number } => {
    const moved = movedPass(of, day, carZ, ownZ);
    return simulatePass(moved.car, moved.day).marks.at(-1)!;
  };
  const there = { ...from, airDensityKgPerM3: to.airDensityKgPerM3 };
  const ratio = to.airDensityKgPerM3 / from.airDensityKgPerM3;
  const was = last(model, from);
  // Drag alone: the power of the first day in the second day's air.
  const exponent = model.densityExponent + carZ[3]! * model.spreads.densityExponent;
  const { power } = model.car;
  const sameEngine = { ...model, car: { ...model.car, power: { ...power, at: (rpm: number) => power.at(rpm) * ratio ** -exponent } } };
  const dragOnly = last(sameEngine, there);
  const both = last(model, there);
  const [time, trap] = [slip.timesS['1320ft'], slip.trapsMps['1320ft']];
  return {
    elapsedTimeS: time === undefined ? null : time + both.timeS - was.timeS,
    trapMps: trap === undefined ? null : trap + both.trapMps - was.trapMps,
    byDragS: dragOnly.timeS - was.timeS,
    byPowerS: both.timeS - dragOnly.timeS,
    cubeRootS: time === undefined ? null : time * ratio ** (-1 / 3),
    cubeRootMps: trap === undefined ? null : trap * ratio ** (1 / 3),
  };
}
