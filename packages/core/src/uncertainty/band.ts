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
  const lower = errors.covariance === null ? null : lowerFactor(errors.covariance, points);
  if (errors.covariance !== null) for (let i = 0; i < points; i++) variance[i] = variance[i]! + errors.covariance[i * points + i]!;
  const standardDeviation = variance.map(Math.sqrt);
  const pointwise = standardDeviation.map((sd, i) =>
    sd === 0
      ? 0
      : sd * studentTTwoSided(level, fourth[i]! === 0 ? Number.POSITIVE_INFINITY : Math.max(1, (variance[i]! * variance[i]!) / fourth[i]!)),
  );
  const stream = randomStream(seed);
  const cumulated = new Float64Array(draws * (points + 1));
  const largest = new Float64Array(draws);
  const rest = new Float64Array(points);
  const error = new Float64Array(points);
  for (let d = 0; d < draws; d++) {
    error.fill(0);
    for (const { shape, degrees } of errors.shared) {
      const spread = Number.isFinite(degrees) ? Math.sqrt(degrees / chiSquaredDraw(stream, degrees)) : 1;
      const z = stream.normal() * spread;
      for (let i = 0; i < points; i++) error[i] = error[i]! + z * shape[i]!;
    }
    if (lower !== null) {
      for (let i = 0; i < points; i++) rest[i] = stream.normal();
      for (let i = 0; i < points; i++) {
        let sum = 0;
        const row = i * points;
        for (let k = 0; k <= i; k++) sum += lower[row + k]! * rest[k]!;
        error[i] = error[i]! + sum;
      }
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
