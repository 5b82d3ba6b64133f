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
  const { columns, degrees } = rootsOf(errors, points, variance);
  const count = columns.length;
  const stream = randomStream(seed);
  // Random numbers of every draw, kept for means over a range.
  const random = new Float64Array(draws * count);
  const largest = new Float64Array(draws);
  const scaled = columns.map((column) => column.map((value, i) => (standardDeviation[i]! > 0 ? value / standardDeviation[i]! : 0)));
  const error = new Float64Array(points);
  for (let d = 0; d < draws; d++) {
    error.fill(0);
    for (let c = 0; c < count; c++) {
      const spread = degrees[c]! === Number.POSITIVE_INFINITY ? 1 : Math.sqrt(degrees[c]! / chiSquaredDraw(stream, degrees[c]!));
      const z = stream.normal() * spread;
      random[d * count + c] = z;
      const column = scaled[c]!;
      for (let i = 0; i < points; i++) error[i] = error[i]! + z * column[i]!;
    }
    let most = 0;
    for (let i = 0; i < points; i++) {
      const size = Math.abs(error[i]!);
      if (size > most) most = size;
    }
    largest[d] = most;
  }
  largest.sort();
  const atLevel = Math.min(draws - 1, Math.ceil(level * draws) - 1);
  const factor = largest[atLevel]!;
  const ofMean = (from: number, to: number): number => {
    const weights = columns.map((column) => column.subarray(from, to).reduce((sum, value) => sum + value, 0) / (to - from));
    const means = new Float64Array(draws);
    for (let d = 0; d < draws; d++) {
      let sum = 0;
      for (let c = 0; c < count; c++) sum += random[d * count + c]! * weights[c]!;
      means[d] = Math.abs(sum);
    }
    return means.sort()[atLevel]!;
  };
  return { standardDeviation, pointwise, simultaneous: standardDeviation.map((sd) => factor * sd), factor, ofMean };
}

/** Share of the whole variance that may be left out of what is drawn. */
const negligible = 1e-4;

/** Columns to be multiplied by independent random numbers: each estimated spread by itself, and what everything else comes to together. */
function rootsOf(
  { shared, covariance }: CurveErrors,
  points: number,
  variance: Float64Array,
): { readonly columns: readonly Float64Array[]; readonly degrees: readonly number[] } {
  const estimated = shared.filter(({ degrees }) => Number.isFinite(degrees));
  const known = covariance === null ? new Float64Array(points * points) : Float64Array.from(covariance);
  for (const { shape, degrees } of shared) {
    if (Number.isFinite(degrees)) continue;
    for (let i = 0; i < points; i++) {
      for (let j = 0; j < points; j++) known[i * points + j] = known[i * points + j]! + shape[i]! * shape[j]!;
    }
  }
  let all = 0;
  for (const value of variance) all += value;
  const columns = covarianceColumns(known, points, negligible * all);
  return {
    columns: [...estimated.map(({ shape }) => shape), ...columns],
    degrees: [...estimated.map(({ degrees }) => degrees), ...columns.map(() => Number.POSITIVE_INFINITY)],
  };
}

/**
 * Columns C with C Cᵀ = covariance, as many as it takes: pivoted Cholesky, until what is left of the trace is `enough`.
 *
 * Source: Higham, Analysis of the Cholesky decomposition of a semi-definite matrix (1990), sec. 4 (complete pivoting).
 */
function covarianceColumns(covariance: Float64Array, points: number, enough: number): Float64Array[] {
  const left = Float64Array.from({ length: points }, (_, i) => covariance[i * points + i]!);
  let trace = 0;
  for (const value of left) trace += value;
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
