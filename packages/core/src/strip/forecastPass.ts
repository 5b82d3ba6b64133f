import { cholesky, randomStream } from '../maths/index.js';
import { type LearnedCar, slipError } from './learnFromSlips.js';
import { carInputs, movedPass, ownInputs, type PassInputName, type PassModel, type UncertainDay } from './passInputs.js';
import { type Pass, simulatePass } from './simulatePass.js';
import { type StripMark, stripMarks } from './stripGeometry.js';

/** A value with the bounds that hold it at the level asked for. */
export interface Banded {
  readonly value: number;
  readonly low: number;
  readonly high: number;
}

/**
 * What forecasts missed beyond their inputs, s at each mark: found with random cars (bench/stripStudy.js), where corners of the grip limit make
 * the normal approximation of what slips have taught too narrow. Regression, not truth.
 */
const passScatterS = [0.008, 0.018, 0.023, 0.025, 0.027] as const;

/** A forecast of one pass. */
export interface PassForecast {
  /** The pass with the most likely inputs. */
  readonly central: Pass;
  readonly elapsedTimeS: Banded;
  readonly trapMps: Banded;
  readonly splits: readonly { readonly mark: StripMark; readonly timeS: Banded; readonly trapMps: Banded }[];
  /** Share of each input in the variance of elapsed time and of trap speed; each sums to 1. Correlated inputs may show a negative share. */
  readonly shares: readonly { readonly input: PassInputName; readonly elapsedTime: number; readonly trap: number }[];
  /** Elapsed time (s) and trap speed (m/s) of every draw. */
  readonly draws: { readonly elapsedTimeS: Float64Array; readonly trapMps: Float64Array };
}

/**
 * Forecasts a pass with bands: draws every uncertain input, simulates, and takes the quantiles.
 *
 * @param model the car with priors
 * @param day what the pass meets
 * @param options `learned`: what slips have taught; `draws`, 400 unless given; `seed`, 1; `level`, 0.95
 * @returns the pass, its bands, the share of each input
 *
 * Uncertainty: bands of {@link PassSpreads}; beyond its inputs a pass is taken to scatter by 0.008 s at 60 ft to 0.027 s at 1320 ft, and 0.06 m/s.
 * Source: [JCGM101] (propagation of distributions by a Monte Carlo method).
 *
 * @example
 * ```ts
 * import { forecastPass, powerTable, usualPassSpreads } from '@pullproof/core';
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
 * const { elapsedTimeS } = forecastPass(model, day, { draws: 100 });
 * elapsedTimeS.low < elapsedTimeS.value && elapsedTimeS.value < elapsedTimeS.high; // => true
 * ```
 */
export function forecastPass(
  model: PassModel,
  day: UncertainDay,
  options: { readonly learned?: LearnedCar; readonly draws?: number; readonly seed?: number; readonly level?: number } = {},
): PassForecast {
  const { learned, draws = 400, seed = 1, level = 0.95 } = options;
  const names = [...carInputs(model), ...ownInputs(model, day)].map(({ name }) => name);
  const shared = carInputs(model).length;
  const size = names.length;
  const centre = new Float64Array(size);
  if (learned !== undefined) centre.set(learned.carZ);
  const covariance = new Float64Array(size * size);
  for (let i = 0; i < size; i++) covariance[i * size + i] = 1;
  if (learned !== undefined) {
    for (let i = 0; i < shared; i++) for (let j = 0; j < shared; j++) covariance[i * size + j] = learned.covariance[i * shared + j]!;
  }
  const simulated = (z: Float64Array, stepS: number): Pass => {
    const moved = movedPass(model, day, z.subarray(0, shared), z.subarray(shared));
    return simulatePass(moved.car, moved.day, { stepS });
  };
  const central = simulated(centre, 0.02);
  const coarse = simulated(centre, 0.03).marks;
  const stream = randomStream(seed);
  const lower = cholesky(covariance, size);
  if (lower === null) throw new RangeError('forecastPass: the covariance of the inputs is not positive definite');
  const times = stripMarks.map(() => new Float64Array(draws));
  const traps = stripMarks.map(() => new Float64Array(draws));
  const z = new Float64Array(size);
  const white = new Float64Array(size);
  for (let d = 0; d < draws; d++) {
    // Antithetic pairs: the second of two draws mirrors the first.
    for (let i = 0; i < size; i++) white[i] = d % 2 === 1 ? -white[i]! : stream.normal();
    for (let i = 0; i < size; i++) {
      let sum = centre[i]!;
      for (let k = 0; k <= i; k++) sum += lower[i * size + k]! * white[k]!;
      z[i] = sum;
    }
    const scatter = stream.normal();
    simulated(z, 0.03).marks.forEach(({ timeS, trapMps }, m) => {
      times[m]![d] = timeS + scatter * passScatterS[m]!;
      traps[m]![d] = trapMps + stream.normal() * slipError.trapMps;
    });
  }
  const last = stripMarks.length - 1;
  const banded = (values: Float64Array, value: number, own: number): Banded => {
    const sorted = Float64Array.from(values).sort();
    // Quantiles of the draws, moved by what the coarser step of the draws differs from the central pass.
    const at = (p: number): number => quantile(sorted, p) + value - own;
    return { value, low: at((1 - level) / 2), high: at((1 + level) / 2) };
  };
  const splits = central.marks.map(({ mark, timeS, trapMps }, m) => ({
    mark,
    timeS: banded(times[m]!, timeS, coarse[m]!.timeS),
    trapMps: banded(traps[m]!, trapMps, coarse[m]!.trapMps),
  }));
  const slopes = names.map((_, j) => {
    const [up, down] = [0.5, -0.5].map((by) => {
      const moved = centre.slice();
      moved[j] = moved[j]! + by;
      return simulated(moved, 0.03).marks[last]!;
    });
    return { elapsedTime: up!.timeS - down!.timeS, trap: up!.trapMps - down!.trapMps };
  });
  const share = (key: 'elapsedTime' | 'trap'): number[] => {
    const through = slopes.map((_, i) => slopes.reduce((sum, other, j) => sum + covariance[i * size + j]! * other[key], 0));
    const parts = slopes.map((slope, i) => slope[key] * through[i]!);
    const total = parts.reduce((sum, part) => sum + part, 0);
    return parts.map((part) => part / total);
  };
  const [ofTime, ofTrap] = [share('elapsedTime'), share('trap')];
  return {
    central,
    elapsedTimeS: splits[last]!.timeS,
    trapMps: splits[last]!.trapMps,
    splits,
    shares: names.map((input, i) => ({ input, elapsedTime: ofTime[i]!, trap: ofTrap[i]! })),
    draws: { elapsedTimeS: times[last]!, trapMps: traps[last]! },
  };
}

function quantile(sorted: Float64Array, p: number): number {
  const place = p * (sorted.length - 1);
  const i = Math.min(Math.floor(place), sorted.length - 2);
  return sorted[i]! + (sorted[i + 1]! - sorted[i]!) * (place - i);
}
