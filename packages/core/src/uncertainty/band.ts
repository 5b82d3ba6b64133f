import { chiSquaredDraw, cholesky, randomStream, studentTTwoSided } from '../maths/index.js';

/**
 * One source of error in a curve: a fixed shape times one random number. `degrees` says how well its standard deviation is known
 * (Infinity: known or stated; few: estimated from few repeats).
 */
export interface SharedError {
  readonly name: string;
  /** Standard deviation at each point, signed: points move together. */
  readonly shape: Float64Array;
  readonly degrees: number;
}

/** Errors of a curve on a grid of points. */
export interface CurveErrors {
  readonly shared: readonly SharedError[];
  /** Covariance of what is left, row-major; null where there is none. */
  readonly covariance: Float64Array | null;
}

/** A band around a curve, and what it takes to ask about means over a range. */
export interface Band {
  /** Standard deviation at each point. */
  readonly standardDeviation: Float64Array;
  /** Half-width at each point, each point by itself. */
  readonly pointwise: Float64Array;
  /** Half-width at each point so that the whole curve lies inside at once. */
  readonly simultaneous: Float64Array;
  /** Factor on the standard deviation that gives the simultaneous half-width. */
  readonly factor: number;
  /** Half-width for the mean over the points [from, to). */
  readonly ofMean: (from: number, to: number) => number;
}

/**
 * Bands for a curve from its sources of error, by simulation of the studentised maximum.
 *
 * Each shared error is drawn as shape · z · √(ν/χ²ν), the rest from its covariance; the simultaneous factor is the `level` quantile
 * of the largest |error| / standard deviation over the points.
 *
 * @param errors Sources of error on `points` points.
 * @param points Number of points.
 * @param options `level` (default 0.95), `draws` (default 4000), `seed` (default 1).
 * @returns Half-widths; points where the standard deviation is 0 have half-width 0.
 *
 * Source: simultaneous bands by the maximum: Degras, Statist. Sinica 21 (2011) 1735; uncertain standard deviations as in JCGM 101:2008, 6.4.9.2.
 */
export function bandOf(
  errors: CurveErrors,
  points: number,
  options: { readonly level?: number; readonly draws?: number; readonly seed?: number } = {},
): Band {
  const { level = 0.95, draws = 4000, seed = 1 } = options;
  const variance = new Float64Array(points);
  const fourth = new Float64Array(points);
  for (const { shape, degrees } of errors.shared) {
    for (let i = 0; i < points; i++) {
      const v = shape[i]! * shape[i]!;
      variance[i] = variance[i]! + v;
      if (Number.isFinite(degrees)) fourth[i] = fourth[i]! + (v * v) / degrees;
    }
  }
  if (errors.covariance !== null) for (let i = 0; i < points; i++) variance[i] = variance[i]! + errors.covariance[i * points + i]!;
  const standardDeviation = variance.map(Math.sqrt);
  const pointwise = standardDeviation.map((sd, i) =>
    sd === 0
      ? 0
      : sd * studentTTwoSided(level, fourth[i]! === 0 ? Number.POSITIVE_INFINITY : Math.max(1, (variance[i]! * variance[i]!) / fourth[i]!)),
  );
  const { estimated, columns } = rootsOf(errors, points);
  const stream = randomStream(seed);
  const cumulated = new Float64Array(draws * (points + 1));
  const largest = new Float64Array(draws);
  const error = new Float64Array(points);
  for (let d = 0; d < draws; d++) {
    error.fill(0);
    for (const { shape, degrees } of estimated) {
      const z = stream.normal() * Math.sqrt(degrees / chiSquaredDraw(stream, degrees));
      for (let i = 0; i < points; i++) error[i] = error[i]! + z * shape[i]!;
    }
    for (const column of columns) {
      const z = stream.normal();
      for (let i = 0; i < points; i++) error[i] = error[i]! + z * column[i]!;
    }
    let most = 0;
    const base = d * (points + 1);
    for (let i = 0; i < points; i++) {
      cumulated[base + i + 1] = cumulated[base + i]! + error[i]!;
      if (standardDeviation[i]! > 0) most = Math.max(most, Math.abs(error[i]!) / standardDeviation[i]!);
    }
    largest[d] = most;
  }
  largest.sort();
  const factor = largest[Math.min(draws - 1, Math.ceil(level * draws) - 1)]!;
  const ofMean = (from: number, to: number): number => {
    const means = new Float64Array(draws);
    for (let d = 0; d < draws; d++) {
      const base = d * (points + 1);
      means[d] = Math.abs(cumulated[base + to]! - cumulated[base + from]!) / (to - from);
    }
    means.sort();
    return means[Math.min(draws - 1, Math.ceil(level * draws) - 1)]!;
  };
  return { standardDeviation, pointwise, simultaneous: standardDeviation.map((sd) => factor * sd), factor, ofMean };
}

/** Errors whose spread is estimated, and columns C with C Cᵀ for everything whose spread is known. */
function rootsOf(errors: CurveErrors, points: number): { estimated: SharedError[]; columns: Float64Array[] } {
  const estimated = errors.shared.filter(({ degrees }) => Number.isFinite(degrees));
  const known = errors.shared.filter(({ degrees }) => !Number.isFinite(degrees)).map(({ shape }) => shape);
  return { estimated, columns: errors.covariance === null ? known : [...known, ...covarianceColumns(errors.covariance, points)] };
}

/**
 * Columns C with C Cᵀ = covariance, as many as it takes: pivoted Cholesky, until what is left of the trace is a part in 10⁹.
 *
 * Source: Higham, Analysis of the Cholesky decomposition of a semi-definite matrix (1990), sec. 4 (complete pivoting).
 */
export function covarianceColumns(covariance: Float64Array, points: number): Float64Array[] {
  const left = Float64Array.from({ length: points }, (_, i) => covariance[i * points + i]!);
  let trace = 0;
  for (const value of left) trace += value;
  const enough = 1e-9 * trace;
  const columns: Float64Array[] = [];
  while (trace > enough && columns.length < points) {
    let pivot = 0;
    for (let i = 1; i < points; i++) if (left[i]! > left[pivot]!) pivot = i;
    const root = Math.sqrt(left[pivot]!);
    if (!(root > 0)) break;
    const column = new Float64Array(points);
    for (let i = 0; i < points; i++) column[i] = covariance[i * points + pivot]!;
    for (const earlier of columns) {
      const weight = earlier[pivot]!;
      for (let i = 0; i < points; i++) column[i] = column[i]! - weight * earlier[i]!;
    }
    trace = 0;
    for (let i = 0; i < points; i++) {
      column[i] = left[i]! > 0 ? column[i]! / root : 0;
      left[i] = Math.max(0, left[i]! - column[i]! ** 2);
    }
    column[pivot] = root;
    left[pivot] = 0;
    for (const value of left) trace += value;
    columns.push(column);
  }
  return columns;
}

/** Cholesky factor of a covariance that may be singular: a part in 10⁹ of the diagonal is added. */
export function lowerFactor(covariance: Float64Array, points: number): Float64Array {
  let largest = 0;
  for (let i = 0; i < points; i++) largest = Math.max(largest, covariance[i * points + i]!);
  if (largest === 0) return new Float64Array(points * points);
  for (let jitter = 1e-9; jitter < 1e-3; jitter *= 10) {
    const lifted = Float64Array.from(covariance);
    for (let i = 0; i < points; i++) lifted[i * points + i] = lifted[i * points + i]! + jitter * largest;
    const lower = cholesky(lifted, points);
    if (lower !== null) return lower;
  }
  throw new RangeError('bandOf: the covariance is not positive semidefinite');
}
