import { type BSplineBasis, bSplineAt, bSplineValues, choleskyInverse, choleskySolve, differencePenalty } from '../maths/index.js';
import type { ReducedSystem } from './arrow.js';
import type { ChannelNoise } from './channelNoise.js';
import { linearise } from './linearise.js';
import type { MotionPull } from './motion.js';
import { chooseSmoothness, commonFactor, reducedAt, type SmoothedSystem, type Smoothness } from './smoothness.js';
import { type FirstParameters, firstParameters, type ParameterLayout } from './torqueParameters.js';

/** Settings of the fit, chosen on the accuracy study (docs/accuracy.md). */
export interface TorqueFitOptions {
  /** Distance between knots of the common curve, rpm. */
  readonly knotRpm?: number;
  /** Distance between knots of a pull's own deviation, rpm. */
  readonly ownKnotRpm?: number;
  /** Order of the penalised differences. */
  readonly penaltyOrder?: number;
}

/** Outcome of the fit for one setup. */
export interface TorqueFit {
  readonly basis: BSplineBasis;
  readonly ownBasis: BSplineBasis;
  /** Every parameter: common coefficients, then a pull's log scale, own coefficients, channel delays and start speeds. */
  readonly parameters: Float64Array;
  readonly layout: ParameterLayout;
  /** Common coefficients, then the means over the pulls of log scale and own coefficients: what the mean curve is made of. */
  readonly meanParameters: Float64Array;
  /** Noise covariance of these, row-major. */
  readonly meanCovariance: Float64Array;
  readonly smoothness: Smoothness;
  /** Residual standard deviation of each channel, rpm, and the factor by which its run of like residuals inflates the variance. */
  readonly channelNoise: readonly { readonly noiseRpm: number; readonly inflation: number; readonly readings: number }[];
  /** Correlation between what pulls are off at the same engine speed, as by steps that every pull meets at the same places; errors that repeat do not average out. */
  readonly repeatedNoise: number;
  readonly iterations: number;
  /** Largest change of log torque in the last iteration; Infinity where an iteration could not be solved. */
  readonly lastChange: number;
  /** This setup's own equations had a solution, and it stood still at the end. */
  readonly converged: boolean;
}

interface WorkingSetup extends FirstParameters {
  readonly pulls: readonly MotionPull[];
  readonly penalty: Float64Array;
  noise: ChannelNoise;
  smoothed: SmoothedSystem | null;
  solved: { readonly reduced: ReducedSystem; readonly factor: Float64Array } | null;
  lastChange: number;
}

const mostRounds = 30;
/** Change of log torque below which the fit stands still. */
const stillChange = 2e-5;

/**
 * Fits wheel torque, referred to engine speed, to the recorded speeds of all pulls of each setup at once (output-error method):
 * the torque curve is integrated through the equation of motion and compared with each reading at its own time stamp.
 * The logarithm of torque is a penalised cubic spline common to a setup's pulls; each pull has a factor, a smooth deviation of
 * shape, its start speed and a delay of each channel after the first. How smooth the curve is, and how much pulls differ in
 * shape, is chosen by restricted maximum likelihood over all setups together.
 *
 * @param setups For each setup its pulls (at least one in all), with readings in one gear.
 * @param start For each setup a first guess of wheel torque (N·m) at an engine speed (rpm).
 * @returns One fit a setup. Where the equations of one cannot be solved the rounds end for all, and `lastChange` of that one is Infinity.
 *
 * Validity: one gear a pull, no shift or cut inside a span, wind and grade constant along a pull, torque above zero.
 * Source: output error: Jategaonkar, Flight Vehicle System Identification (2006), ch. 4; P-splines: Eilers & Marx,
 * Statist. Sci. 11 (1996) 89; smoothness by REML: Ruppert, Wand & Carroll, Semiparametric Regression (2003), ch. 4.
 */
export function fitTorque(
  setups: readonly (readonly MotionPull[])[],
  start: readonly ((rpm: number) => number)[],
  options: TorqueFitOptions = {},
): TorqueFit[] {
  const { knotRpm = 200, ownKnotRpm = 800, penaltyOrder = 2 } = options;
  const working = setups.map((pulls, index): WorkingSetup => {
    const first = firstParameters(pulls, start[index]!, { knotRpm, ownKnotRpm });
    return {
      ...first,
      pulls,
      penalty: scaledPenalty(first.basis, penaltyOrder),
      noise: firstNoise(pulls),
      smoothed: null,
      solved: null,
      lastChange: Number.POSITIVE_INFINITY,
    };
  });
  let smoothness: Smoothness = { roughness: 0.02, ownShape: 0.003 };
  let iterations = 0;
  let converged = false;
  let solvable = true;
  for (; iterations < mostRounds && !converged && solvable; iterations++) {
    for (const setup of working) {
      // The first guess misses by more than the noise, which the readings' own second differences tell better.
      const { system, noise } = linearise(setup, { noise: iterations === 0 ? setup.noise : undefined });
      setup.noise = noise;
      const penaltyRank = setup.basis.size - penaltyOrder;
      setup.smoothed = { system, layout: setup.layout, penalty: setup.penalty, penaltyRank, ownSize: setup.ownBasis.size };
    }
    if (iterations >= 1 && iterations <= 8) {
      smoothness = chooseSmoothness(
        working.map(({ smoothed }) => smoothed!),
        smoothness,
        iterations <= 1 ? 1 : 0.25,
      );
    }
    for (const setup of working) solvable = solveSetup(setup, smoothness) && solvable;
    converged = solvable && iterations > 3 && working.every(({ lastChange }) => lastChange < stillChange);
  }
  return working.map((setup): TorqueFit => {
    const { basis, ownBasis, parameters, layout, noise, lastChange } = setup;
    return {
      basis,
      ownBasis,
      parameters,
      layout,
      ...meanOf(setup),
      smoothness,
      channelNoise: Array.from(noise.noiseRpm, (noiseRpm, c) => {
        return { noiseRpm, inflation: noise.inflation[c]!, readings: noise.readings[c]! };
      }),
      repeatedNoise: noise.repeated,
      iterations,
      lastChange,
      converged: lastChange < stillChange,
    };
  });
}

function firstNoise(pulls: readonly MotionPull[]): ChannelNoise {
  const channels = Math.max(...pulls.map((pull) => pull.spans[0]!.length));
  const noiseRpm = Float64Array.from({ length: channels }, (_, c) =>
    Math.max(1e-3, ...pulls.map((pull) => pull.spans[0]![c]?.noiseRpm ?? 0)),
  );
  return { noiseRpm, inflation: noiseRpm.map(() => 1), readings: new Float64Array(channels), repeated: 0 };
}

/** Differences scaled to one knot distance of 200 rpm, so that one roughness serves any knot distance. */
function scaledPenalty(basis: BSplineBasis, order: number): Float64Array {
  const scale = (200 / basis.step) ** (2 * order - 1);
  return differencePenalty(basis.size, order).map((value) => value * scale);
}

/** Moves the parameters to the solution of the linearised problem; false where it has none. */
function solveSetup(setup: WorkingSetup, smoothness: Smoothness): boolean {
  const { layout, basis, parameters, smoothed } = setup;
  const reduced = basis.size > 0 ? reducedAt(smoothed!, smoothness.ownShape) : null;
  const factor = reduced === null ? null : commonFactor(smoothed!, reduced, smoothness.roughness);
  if (reduced === null || factor === null) {
    setup.lastChange = Number.POSITIVE_INFINITY;
    return false;
  }
  const common = choleskySolve(factor, basis.size, reduced.right);
  let change = 0;
  const largestStep = 0.5;
  for (let j = 0; j < basis.size; j++) {
    const step = common[j]! - parameters[j]!;
    change = Math.max(change, Math.abs(step));
    parameters[j] = parameters[j]! + Math.min(Math.max(step, -largestStep), largestStep);
  }
  layout.pulls.forEach(({ scale, size }, p) => {
    const own = reduced.pulls[p]!;
    for (let i = 0; i < size; i++) {
      let value = own.right[i]!;
      for (let j = 0; j < basis.size; j++) value -= own.border[i * basis.size + j]! * common[j]!;
      parameters[scale + i] = value;
    }
  });
  const isNumber = Number.isFinite(change);
  setup.lastChange = isNumber ? change : Number.POSITIVE_INFINITY;
  setup.solved = isNumber ? { reduced, factor } : null;
  return isNumber;
}

/** Parameters of the mean curve with their covariance, by the inverse of the arrow. */
function meanOf({
  basis,
  ownBasis,
  layout,
  parameters,
  solved,
  noise,
}: WorkingSetup): Pick<TorqueFit, 'meanParameters' | 'meanCovariance'> {
  const commonSize = basis.size;
  const ownSize = 1 + ownBasis.size;
  const size = commonSize + ownSize;
  const share = 1 / layout.pulls.length;
  const meanParameters = new Float64Array(size);
  meanParameters.set(parameters.subarray(0, commonSize));
  for (const { scale } of layout.pulls) {
    for (let k = 0; k < ownSize; k++) meanParameters[commonSize + k] = meanParameters[commonSize + k]! + share * parameters[scale + k]!;
  }
  const meanCovariance = new Float64Array(size * size);
  if (solved === null) return { meanParameters, meanCovariance: meanCovariance.fill(Number.NaN) };
  // An error x of the common coefficients moves a pull's own by −D⁻¹ B x, beside their own D⁻¹.
  const common = choleskyInverse(solved.factor, commonSize);
  const carried = new Float64Array(ownSize * commonSize);
  const own = new Float64Array(ownSize * ownSize);
  solved.reduced.pulls.forEach(({ factor, border }, p) => {
    const blockSize = layout.pulls[p]!.size;
    const inverse = choleskyInverse(factor, blockSize);
    for (let k = 0; k < ownSize; k++) {
      for (let j = 0; j < commonSize; j++) carried[k * commonSize + j] = carried[k * commonSize + j]! - share * border[k * commonSize + j]!;
      for (let j = 0; j < ownSize; j++) own[k * ownSize + j] = own[k * ownSize + j]! + share * share * inverse[k * blockSize + j]!;
    }
  });
  const moved = product(carried, common, ownSize, commonSize, commonSize);
  for (let i = 0; i < commonSize; i++) {
    for (let j = 0; j < commonSize; j++) meanCovariance[i * size + j] = common[i * commonSize + j]!;
    for (let k = 0; k < ownSize; k++) {
      meanCovariance[(commonSize + k) * size + i] = moved[k * commonSize + i]!;
      meanCovariance[i * size + commonSize + k] = moved[k * commonSize + i]!;
    }
  }
  for (let k = 0; k < ownSize; k++) {
    for (let l = 0; l < ownSize; l++) {
      let sum = own[k * ownSize + l]!;
      for (let j = 0; j < commonSize; j++) sum += moved[k * commonSize + j]! * carried[l * commonSize + j]!;
      meanCovariance[(commonSize + k) * size + commonSize + l] = sum;
    }
  }
  const repeats = 1 + (layout.pulls.length - 1) * noise.repeated;
  return { meanParameters, meanCovariance: meanCovariance.map((value) => value * repeats) };
}

function product(a: Float64Array, b: Float64Array, rows: number, inner: number, columns: number): Float64Array {
  const out = new Float64Array(rows * columns);
  for (let i = 0; i < rows; i++) {
    for (let k = 0; k < inner; k++) {
      const value = a[i * inner + k]!;
      for (let j = 0; j < columns; j++) out[i * columns + j] = out[i * columns + j]! + value * b[k * columns + j]!;
    }
  }
  return out;
}

/** Linear functional of `meanParameters` that gives the mean over the pulls of log torque at `rpm`. */
export function meanLogTorqueRow(fit: TorqueFit, rpm: number): Float64Array {
  const commonSize = fit.basis.size;
  const row = new Float64Array(commonSize + 1 + fit.ownBasis.size);
  const values = new Float64Array(4);
  const first = bSplineValues(fit.basis, rpm, values);
  for (let k = 0; k < 4; k++) row[first + k] = values[k]!;
  const firstOwn = bSplineValues(fit.ownBasis, rpm, values);
  row[commonSize] = 1;
  for (let k = 0; k < 4; k++) row[commonSize + 1 + firstOwn + k] = values[k]!;
  return row;
}

/** Standard deviation, from the readings' noise, of the mean log torque at `rpm`. */
export function meanNoise(fit: TorqueFit, rpm: number): number {
  const row = meanLogTorqueRow(fit, rpm);
  const size = row.length;
  let variance = 0;
  for (let i = 0; i < size; i++) {
    if (row[i] === 0) continue;
    for (let j = 0; j < size; j++) variance += row[i]! * fit.meanCovariance[i * size + j]! * row[j]!;
  }
  return Math.sqrt(variance);
}

/** Log torque of one pull at `rpm`. */
export function pullLogTorque(fit: TorqueFit, pull: number, rpm: number): number {
  const place = fit.layout.pulls[pull]!;
  return (
    bSplineAt(fit.basis, fit.parameters, rpm) +
    fit.parameters[place.scale]! +
    bSplineAt(fit.ownBasis, fit.parameters.subarray(place.own, place.own + fit.ownBasis.size), rpm)
  );
}
