import { cholesky, randomStream } from '../maths/index.js';
import type { Banded } from './forecastPass.js';
import type { LearnedCar } from './learnFromSlips.js';
import { carInputs, movedPass, ownInputs, type PassModel, type UncertainDay } from './passInputs.js';
import { simulatePass } from './simulatePass.js';

/** Seconds and speed that a change is worth over the quarter mile; quicker is negative, faster is positive. */
export interface Worth {
  readonly elapsedTimeS: Banded;
  readonly trapMps: Banded;
}

/** The same car and day with one thing changed. */
export interface ChangedPass {
  readonly model: PassModel;
  readonly day: UncertainDay;
  /** Relative uncertainty of the change of power that the changed model holds, one standard uncertainty; 0 for a change that is exact. */
  readonly powerDifferenceSpread: number;
}

/**
 * What a change is worth at the strip: the changed pass minus the pass as it is, both with the same luck and the same unknowns.
 *
 * @param model the car as it is
 * @param day the day as it is
 * @param changed the same with the change
 * @param options `learned`: what slips have taught; `draws`, 120 unless given; `seed`, 1; `level`, 0.95
 * @returns differences with bands, from draws in which everything but the change is common to both passes
 *
 * @example
 * ```ts
 * import { powerTable, usualPassSpreads, worthOfChange } from '@pullproof/core';
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
 * const lighter = { model, day: { ...day, massFactor: 0.97 }, powerDifferenceSpread: 0 };
 * worthOfChange(model, day, lighter, { draws: 20 }).elapsedTimeS.value < 0; // => true
 * ```
 */
export function worthOfChange(
  model: PassModel,
  day: UncertainDay,
  changed: ChangedPass,
  options: { readonly learned?: LearnedCar; readonly draws?: number; readonly seed?: number; readonly level?: number } = {},
): Worth {
  const { learned, draws = 120, seed = 1, level = 0.95 } = options;
  const shared = carInputs(model).length;
  const size = shared + ownInputs(model, day).length;
  const covariance = new Float64Array(size * size);
  for (let i = 0; i < size; i++) covariance[i * size + i] = 1;
  if (learned !== undefined)
    for (let i = 0; i < shared; i++) for (let j = 0; j < shared; j++) covariance[i * size + j] = learned.covariance[i * shared + j]!;
  const lower = cholesky(covariance, size);
  if (lower === null) throw new RangeError('worthOfChange: the covariance of the inputs is not positive definite');
  const stream = randomStream(seed);
  const differenceAt = (white: Float64Array, powerZ: number): readonly [number, number] => {
    const z = new Float64Array(size);
    for (let i = 0; i < size; i++) {
      let sum = i < shared && learned !== undefined ? learned.carZ[i]! : 0;
      for (let k = 0; k <= i; k++) sum += lower[i * size + k]! * white[k]!;
      z[i] = sum;
    }
    const last = (from: PassModel, on: UncertainDay, factor: number): readonly [number, number] => {
      const moved = movedPass(from, on, z.subarray(0, shared), z.subarray(shared));
      const { power } = moved.car;
      const car = factor === 1 ? moved.car : { ...moved.car, power: { ...power, at: (rpm: number) => factor * power.at(rpm) } };
      const mark = simulatePass(car, moved.day, { stepS: 0.03 }).marks.at(-1)!;
      return [mark.timeS, mark.trapMps];
    };
    const [time0, trap0] = last(model, day, 1);
    const [time1, trap1] = last(changed.model, changed.day, Math.exp(powerZ * changed.powerDifferenceSpread));
    return [time1 - time0, trap1 - trap0];
  };
  const white = new Float64Array(size);
  const [time, trap] = differenceAt(white, 0);
  const drawn = Array.from({ length: draws }, () => {
    for (let i = 0; i < size; i++) white[i] = stream.normal();
    return differenceAt(white, stream.normal());
  });
  const banded = (value: number, values: number[]): Banded => {
    values.sort((a, b) => a - b);
    const at = (p: number): number => values[Math.round(p * (values.length - 1))]!;
    return { value, low: Math.min(value, at((1 - level) / 2)), high: Math.max(value, at((1 + level) / 2)) };
  };
  return {
    elapsedTimeS: banded(
      time,
      drawn.map(([t]) => t),
    ),
    trapMps: banded(
      trap,
      drawn.map(([, v]) => v),
    ),
  };
}
