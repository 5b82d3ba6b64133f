import { PullproofError } from '../findings/index.js';
import { cholesky, choleskyInverse, choleskySolve } from '../maths/index.js';
import { type CoastDownCoefficients, coastDownFromRoadLoad, freeSpeedMps } from './coastDown.js';
import type { CoastRun, Estimate } from './coastRun.js';
import { type RoadLoadInputs, STANDARD_GRAVITY } from './roadLoad.js';

/** Order of the common unknowns; each run's starting speed follows. */
export const DRAG = 0;
export const ROLLING = 1;
export const GROWTH = 2;
export const WIND = 3;
export const GRADE = 4;
export const COMMON = 5;
/** Steps of the central differences, about a hundredth of what each unknown usually is. */
const STEPS = [1e-3, 2e-5, 1e-4, 1e-3, 1e-5];
const STARTING_SPEED_STEP = 1e-3;
const MOST_ITERATIONS = 60;

function coefficientsOf(run: CoastRun, at: Float64Array): CoastDownCoefficients {
  const inputs: RoadLoadInputs = {
    massKg: run.massKg,
    airDensityKgPerM3: run.airDensityKgPerM3,
    dragAreaM2: at[DRAG]!,
    rollingCoefficient: at[ROLLING]!,
    headwindMps: run.heading * at[WIND]!,
    grade: run.heading * at[GRADE]!,
  };
  const coefficients = coastDownFromRoadLoad(inputs);
  const growthNPerMps = run.massKg * STANDARD_GRAVITY * at[ROLLING]! * at[GROWTH]!;
  return { ...coefficients, linearNPerMps: coefficients.linearNPerMps + growthNPerMps };
}

/** Speed of a run by the model, at each of its times. */
function modelSpeeds(run: CoastRun, startMps: number, at: Float64Array): Float64Array {
  const coefficients = coefficientsOf(run, at);
  const effectiveKg = run.massKg + run.rotatingMassKg;
  return Float64Array.from(run.timeS, (time) => freeSpeedMps(time - run.timeS[0]!, startMps, coefficients, effectiveKg));
}

/** Where the fit came to rest. */
export interface Solution {
  readonly at: Float64Array;
  readonly covariance: Float64Array;
  readonly iterations: number;
}

/** What is known of an unknown beforehand. */
export type Prior = readonly { readonly index: number; readonly known: Estimate }[];

/** Levenberg–Marquardt: least sum of squared residuals over their noise, plus what is known beforehand. */
export function solve(runs: readonly CoastRun[], from: Float64Array, noiseMps: number, prior: Prior): Solution {
  const size = from.length;
  let at = from;
  let cost = costOf(runs, at, noiseMps, prior);
  let damping = 1e-3;
  for (let iterations = 1; iterations <= MOST_ITERATIONS; iterations++) {
    const { normal, right } = normalEquations(runs, at, noiseMps, prior);
    const damped = Float64Array.from(normal);
    for (let i = 0; i < size; i++) damped[i * size + i]! *= 1 + damping;
    const factor = cholesky(damped, size);
    if (factor === null) break;
    const step = choleskySolve(factor, size, right);
    const next = at.map((value, i) => value + step[i]!);
    const nextCost = costOf(runs, next, noiseMps, prior);
    if (!(nextCost <= cost)) {
      damping *= 10;
      if (damping > 1e12) break;
      continue;
    }
    const settled = cost - nextCost <= 1e-9 * (1 + nextCost);
    at = next;
    cost = nextCost;
    damping = Math.max(1e-12, damping / 10);
    if (settled) {
      return { at, covariance: covarianceOf(runs, at, noiseMps, prior), iterations };
    }
  }
  throw unsettled();
}

function unsettled(): PullproofError {
  return new PullproofError(
    'E_COAST_FIT',
    `the coast-downs do not settle on a drag area and a rolling coefficient within ${MOST_ITERATIONS} steps.`,
    {},
    'Check that the car rolled in neutral, without brake, over a wide range of speed.',
  );
}

/** Inverse of the normal matrix. */
export function covarianceOf(runs: readonly CoastRun[], at: Float64Array, noiseMps: number, prior: Prior): Float64Array {
  const factor = cholesky(normalEquations(runs, at, noiseMps, prior).normal, at.length);
  if (factor === null) throw unsettled();
  return choleskyInverse(factor, at.length);
}

function costOf(runs: readonly CoastRun[], at: Float64Array, noiseMps: number, prior: Prior): number {
  let cost = 0;
  runs.forEach((run, r) => {
    modelSpeeds(run, at[COMMON + r]!, at).forEach((speed, i) => {
      cost += ((run.speedMps[i]! - speed) / noiseMps) ** 2;
    });
  });
  for (const { index, known } of prior) cost += ((at[index]! - known.value) / known.spread) ** 2;
  return cost;
}

function normalEquations(runs: readonly CoastRun[], at: Float64Array, noiseMps: number, prior: Prior) {
  const size = at.length;
  const normal = new Float64Array(size * size);
  const right = new Float64Array(size);
  runs.forEach((run, r) => {
    const own = COMMON + r;
    const speeds = modelSpeeds(run, at[own]!, at);
    const columns = [...STEPS.keys(), own].map((index) => ({ index, slope: slopeOf(run, own, index, at) }));
    for (let i = 0; i < speeds.length; i++) {
      const residual = (run.speedMps[i]! - speeds[i]!) / noiseMps ** 2;
      for (const a of columns) {
        right[a.index]! += a.slope[i]! * residual;
        for (const b of columns) normal[a.index * size + b.index]! += (a.slope[i]! * b.slope[i]!) / noiseMps ** 2;
      }
    }
  });
  for (const { index, known } of prior) {
    normal[index * size + index]! += 1 / known.spread ** 2;
    right[index]! += (known.value - at[index]!) / known.spread ** 2;
  }
  return { normal, right };
}

function slopeOf(run: CoastRun, own: number, index: number, at: Float64Array): Float64Array {
  const step = STEPS[index] ?? STARTING_SPEED_STEP;
  const shifted = (by: number) => {
    const there = Float64Array.from(at);
    there[index]! += by;
    return modelSpeeds(run, there[own]!, there);
  };
  const above = shifted(step);
  const below = shifted(-step);
  return above.map((speed, i) => (speed - below[i]!) / (2 * step));
}

/** What is left over. */
export interface ResidualNoise {
  readonly standardMps: number;
  /** Of neighbouring residuals, not below 0. */
  readonly correlation: number;
  /** Standard deviation that uncorrelated readings would need to say as little. */
  readonly weightMps: number;
}

/** Standard deviation of the residuals, the correlation of neighbours, and both in one, as for a first-order process. */
export function residualNoise(runs: readonly CoastRun[], at: Float64Array, degreesOfFreedom: number): ResidualNoise {
  let squares = 0;
  let products = 0;
  runs.forEach((run, r) => {
    const residuals = modelSpeeds(run, at[COMMON + r]!, at).map((speed, i) => run.speedMps[i]! - speed);
    residuals.forEach((residual, i) => {
      squares += residual ** 2;
      if (i > 0) products += residual * residuals[i - 1]!;
    });
  });
  const correlation = squares === 0 ? 0 : Math.min(0.995, Math.max(0, products / squares));
  const standardMps = Math.max(1e-6, Math.sqrt(squares / degreesOfFreedom));
  return { standardMps, correlation, weightMps: standardMps * Math.sqrt((1 + correlation) / (1 - correlation)) };
}
