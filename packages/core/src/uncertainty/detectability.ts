import { chiSquaredDraw, normalBelow, randomStream, studentTTwoSided } from '../maths/index.js';
import { bandOf, type CurveErrors, lowerFactor, type SharedError } from './band.js';

/** A test of a change by Student's t: two groups of the same size, or the differences of pairs. */
export interface TTest {
  /** Repeats in each group, or pairs; 2 or more. */
  readonly repeats: number;
  readonly paired?: boolean;
  /** Level of the two-sided interval; 0.95 when left out. */
  readonly level?: number;
}

/**
 * Power of a two-sided t test to show a change in its true direction.
 *
 * P(T > t) of the noncentral t with ν = 2n − 2, δ = e √(n/2) for two groups, or ν = n − 1, δ = e √n for pairs.
 *
 * @param effect True change in standard deviations (of a repeat, or of a pair's difference).
 * @param test Repeats and kind.
 * @returns Probability, 0 to 1; NaN for fewer than 2 repeats.
 *
 * Source: Cohen, Statistical Power Analysis for the Behavioral Sciences, 2nd ed. (1988), ch. 2; checked against R's `power.t.test`.
 *
 * @example
 * ```ts
 * import { tTestPower } from '@pullproof/core';
 * tTestPower(1, { repeats: 20 }).toFixed(4); // => '0.8690'
 * ```
 */
export function tTestPower(effect: number, test: TTest): number {
  const { repeats, paired = false, level = 0.95 } = test;
  if (!(repeats >= 2)) return Number.NaN;
  const degrees = paired ? repeats - 1 : 2 * repeats - 2;
  return noncentralTAbove(studentTTwoSided(level, degrees), degrees, effect * Math.sqrt(paired ? repeats : repeats / 2));
}

/**
 * Smallest true change that a two-sided t test shows with a given power, in standard deviations.
 *
 * @param test Repeats and kind.
 * @param power Probability of showing it; 0.8 when left out.
 * @returns Standard deviations; NaN for fewer than 2 repeats.
 *
 * Source: as {@link tTestPower}; found by bisection.
 *
 * @example
 * ```ts
 * import { detectableEffect } from '@pullproof/core';
 * detectableEffect({ repeats: 3 }).toFixed(3); // => '3.071'
 * ```
 */
export function detectableEffect(test: TTest, power: number = 0.8): number {
  if (!(test.repeats >= 2)) return Number.NaN;
  let low = 0;
  let high = 1;
  while (tTestPower(high, test) < power) high *= 2;
  for (let round = 0; round < 60; round++) {
    const middle = (low + high) / 2;
    if (tTestPower(middle, test) < power) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}

/** P(T > t) for noncentral t: normal tail averaged over the spread of the estimated standard deviation, s^(ν−1) exp(−ν s²/2), by Simpson's rule. */
function noncentralTAbove(t: number, degrees: number, delta: number): number {
  const steps = 2000;
  const last = 1 + 12 / Math.sqrt(degrees);
  const mode = Math.sqrt((degrees - 1) / degrees);
  const logDensity = (s: number): number => (degrees > 1 ? (degrees - 1) * Math.log(s) : 0) - (degrees * s * s) / 2;
  const top = degrees > 1 ? logDensity(mode) : 0;
  let weight = 0;
  let sum = 0;
  for (let i = 0; i <= steps; i++) {
    const s = (last * i) / steps;
    const density = (i === 0 && degrees > 1 ? 0 : Math.exp(logDensity(s) - top)) * (i === 0 || i === steps ? 1 : i % 2 === 0 ? 2 : 4);
    weight += density;
    sum += density * normalBelow(delta - t * s);
  }
  return sum / weight;
}

/** A spread that will be estimated from the planned repeats, pooled with what is assumed beforehand. */
export interface EstimatedSpread {
  /** As it is taken to be in truth. */
  readonly deviation: number;
  /** Degrees of freedom that it is known by so far; Infinity where it is stated. The truth is drawn accordingly. */
  readonly knownBy: number;
  /** The error's standard deviation over `deviation`, such as √(1/n₁ + 1/n₂). */
  readonly factor: number;
  /** Degrees of freedom that the planned repeats give. */
  readonly degrees: number;
  readonly assumed: { readonly deviation: number; readonly worth: number };
}

/** Errors of a difference that is still to be measured, as shares at a few points far enough apart to stand for a region each. */
export interface PlannedErrors extends CurveErrors {
  readonly estimated: EstimatedSpread;
  readonly points: number;
}

/**
 * Smallest even change that a whole-curve band would show with a given power: clear of zero at one point at least.
 *
 * The errors are drawn, the band is made as `bandOf` makes it from the spread that the repeats would have shown, and the change that
 * would just have cleared the band is noted for each draw; its `power` quantile is the answer.
 *
 * @param errors Errors with their standard deviations taken as true.
 * @param options `power` 0.8, `level` 0.95, `draws` 6000, `seed` 1.
 * @returns Share of the curve.
 *
 * Source: simulation of the rule of `bandOf`; with one point and one estimated spread it is the noncentral t test of {@link detectableEffect}.
 */
export function detectableShare(
  errors: PlannedErrors,
  options: { readonly power?: number; readonly level?: number; readonly draws?: number; readonly seed?: number } = {},
): number {
  const { power = 0.8, level = 0.95, draws = 6000, seed = 1 } = options;
  const { shared, covariance, estimated, points } = errors;
  const { deviation, knownBy, factor, degrees, assumed } = estimated;
  const lower = covariance === null ? null : lowerFactor(covariance, points);
  const stream = randomStream(seed + 1);
  const total = degrees + assumed.worth;
  const all = Array.from({ length: draws }, () => {
    const truth = deviation * (Number.isFinite(knownBy) ? Math.sqrt(knownBy / chiSquaredDraw(stream, knownBy)) : 1);
    const squares = degrees > 0 ? truth ** 2 * chiSquaredDraw(stream, degrees) : 0;
    return { truth, shown: Math.sqrt((squares + assumed.worth * assumed.deviation ** 2) / total) };
  });
  const halfWidth = halfWidths(errors, Math.max(1, total), range(all.map(({ shown }) => shown)), { level, seed });
  const rest = new Float64Array(points);
  const needed = Float64Array.from(all, ({ truth, shown }) => {
    const common = truth * factor * stream.normal();
    const random = shared.map(() => stream.normal());
    if (lower !== null) for (let i = 0; i < points; i++) rest[i] = stream.normal();
    let least = Number.POSITIVE_INFINITY;
    for (let i = 0; i < points; i++) {
      let error = common;
      for (const [s, { shape }] of shared.entries()) error += random[s]! * shape[i]!;
      if (lower !== null) for (let k = 0; k <= i; k++) error += lower[i * points + k]! * rest[k]!;
      least = Math.min(least, halfWidth(shown, i) - error);
    }
    return least;
  }).sort();
  return Math.max(0, needed[Math.min(draws - 1, Math.ceil(power * draws) - 1)]!);
}

function range(values: readonly number[]): { readonly low: number; readonly high: number } {
  const sorted = Float64Array.from(values).sort();
  return { low: sorted[0]!, high: sorted[sorted.length - 1]! };
}

const levels = 6;

/** Half-width of the whole-curve band at a point, as a function of the estimated spread: between bands made at a few spreads. */
function halfWidths(
  errors: PlannedErrors,
  degrees: number,
  spreads: { readonly low: number; readonly high: number },
  options: { readonly level: number; readonly seed: number },
): (spread: number, point: number) => number {
  const { shared, covariance, estimated, points } = errors;
  const { low, high } = spreads;
  const bands = Array.from({ length: levels }, (_, k) => {
    const spread = low + ((high - low) * k) / (levels - 1);
    const own: SharedError = { name: 'estimated', shape: new Float64Array(points).fill(spread * estimated.factor), degrees };
    return bandOf({ shared: [own, ...shared], covariance }, points, { ...options, draws: 3000 }).simultaneous;
  });
  return (spread, point) => {
    const place = high > low ? ((spread - low) / (high - low)) * (levels - 1) : 0;
    const k = Math.min(levels - 2, Math.floor(place));
    return bands[k]![point]! * (k + 1 - place) + bands[k + 1]![point]! * (place - k);
  };
}
