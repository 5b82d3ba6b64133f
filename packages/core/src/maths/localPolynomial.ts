import { cholesky, choleskySolve } from './cholesky.js';

/** Value and slope of a polynomial fitted around one point. */
export interface LocalFit {
  readonly value: number;
  /** First derivative, units of y per unit of t. */
  readonly slope: number;
  /** Variance of the slope for independent errors of variance 1 in y. */
  readonly slopeVariance: number;
  /** Samples that carried weight. */
  readonly count: number;
}

/**
 * Fits a polynomial to the samples around one point by weighted least squares on their own, uneven times.
 *
 * @param times Times, rising.
 * @param values Values of the same length.
 * @param at Where value and slope are wanted.
 * @param options `halfWidth` in units of time; `order` 1 to 3 (default 2); `kernel` `tricube` (default) or `flat`.
 * @returns The fit, or null where too few samples support it: fewer than order + 2, or all on one side of `at`.
 *
 * Validity: independent errors; the signal is near a polynomial of that order inside the window.
 * Source: Fan & Gijbels, Local Polynomial Modelling and Its Applications (1996), ch. 3.
 *
 * @example
 * ```ts
 * import { localPolynomial } from '@pullproof/core';
 * const t = [-0.21, -0.09, 0, 0.12, 0.19];
 * const fit = localPolynomial(t, t.map((x) => 1 + 2 * x + 3 * x * x), 0, { halfWidth: 1, kernel: 'flat' });
 * Math.abs(fit!.slope - 2) < 1e-9; // => true
 * ```
 */
export function localPolynomial(
  times: ArrayLike<number>,
  values: ArrayLike<number>,
  at: number,
  options: { readonly halfWidth: number; readonly order?: number; readonly kernel?: 'tricube' | 'flat' },
): LocalFit | null {
  const { halfWidth, order = 2, kernel = 'tricube' } = options;
  let from = lowerBound(times, at - halfWidth);
  if (order === 1) return localLine(times, values, at, { halfWidth, flat: kernel === 'flat', from });
  const size = order + 1;
  // Sums of w·xᵏ and of w²·xᵏ: row i, column j of the normal matrix is the one of k = i + j.
  const sums = new Float64Array(2 * order + 1);
  const squares = new Float64Array(2 * order + 1);
  const right = new Float64Array(size);
  let count = 0;
  let before = 0;
  let after = 0;
  for (; from < times.length && times[from]! <= at + halfWidth; from++) {
    const x = (times[from]! - at) / halfWidth;
    const weight = kernel === 'flat' ? 1 : tricube(x);
    if (!(weight > 0) || Number.isNaN(values[from]!)) continue;
    count++;
    if (x <= 0) before++;
    if (x >= 0) after++;
    let power = 1;
    for (let k = 0; k <= 2 * order; k++) {
      if (k < size) right[k] = right[k]! + weight * power * values[from]!;
      sums[k] = sums[k]! + weight * power;
      squares[k] = squares[k]! + weight * weight * power;
      power *= x;
    }
  }
  if (count < order + 2 || before === 0 || after === 0) return null;
  const normal = new Float64Array(size * size);
  for (let i = 0; i < size; i++) for (let j = 0; j < size; j++) normal[i * size + j] = sums[i + j]!;
  const l = cholesky(normal, size);
  if (l === null) return null;
  const coefficients = choleskySolve(l, size, right);
  // Row of (XᵀWX)⁻¹ that gives the slope, then its sandwich variance.
  const unit = new Float64Array(size);
  unit[1] = 1;
  const row = choleskySolve(l, size, unit);
  let variance = 0;
  for (let i = 0; i < size; i++) for (let j = 0; j < size; j++) variance += row[i]! * squares[i + j]! * row[j]!;
  return { value: coefficients[0]!, slope: coefficients[1]! / halfWidth, slopeVariance: variance / (halfWidth * halfWidth), count };
}

/** Cleveland's weight, 1 in the middle and 0 at ±1. */
function tricube(x: number): number {
  const away = Math.abs(x);
  const near = 1 - away * away * away;
  return near * near * near;
}

/** The straight line of {@link localPolynomial}, which is asked for at every reading of a log: its sums stand by themselves, `from` is the first sample in reach. */
function localLine(
  times: ArrayLike<number>,
  values: ArrayLike<number>,
  at: number,
  { halfWidth, flat, from }: { readonly halfWidth: number; readonly flat: boolean; readonly from: number },
): LocalFit | null {
  let s0 = 0;
  let s1 = 0;
  let s2 = 0;
  let q0 = 0;
  let q1 = 0;
  let q2 = 0;
  let y0 = 0;
  let y1 = 0;
  let count = 0;
  let before = 0;
  let after = 0;
  for (let i = from; i < times.length && times[i]! <= at + halfWidth; i++) {
    const x = (times[i]! - at) / halfWidth;
    const weight = flat ? 1 : tricube(x);
    const value = values[i]!;
    if (!(weight > 0) || Number.isNaN(value)) continue;
    count++;
    if (x <= 0) before++;
    if (x >= 0) after++;
    s0 += weight;
    s1 += weight * x;
    s2 += weight * x * x;
    q0 += weight * weight;
    q1 += weight * weight * x;
    q2 += weight * weight * x * x;
    y0 += weight * value;
    y1 += weight * x * value;
  }
  if (count < 3 || before === 0 || after === 0) return null;
  // Spread of x about its weighted middle: nothing where all samples stand at one time.
  const middle = s1 / s0;
  const spread = s2 - middle * s1;
  if (!(spread > 0)) return null;
  const slope = (y1 - middle * y0) / spread;
  const variance = (q2 - 2 * middle * q1 + middle * middle * q0) / (spread * spread);
  return { value: y0 / s0 - slope * middle, slope: slope / halfWidth, slopeVariance: variance / (halfWidth * halfWidth), count };
}

/** Index of the first element that is not below `value` in a rising list. */
export function lowerBound(rising: ArrayLike<number>, value: number): number {
  let low = 0;
  let high = rising.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (rising[middle]! < value) low = middle + 1;
    else high = middle;
  }
  return low;
}

/** Index of the first element that is above `value` in a rising list. */
export function upperBound(rising: ArrayLike<number>, value: number): number {
  let low = 0;
  let high = rising.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (rising[middle]! <= value) low = middle + 1;
    else high = middle;
  }
  return low;
}
