import { lowerBound } from './localPolynomial.js';

/**
 * Value at `at` of the smooth curve through readings at uneven times: cubic between neighbours, its slope at each that of the parabola through
 * it and the two beside it.
 *
 * @param times Rising.
 * @param values Of the same length.
 * @param options `from` and `to`: places of the readings that may be used, `to` behind the last.
 * @returns NaN outside of them, or with fewer than three.
 *
 * Validity: the readings resolve the bend: its error is of third order in their distance.
 * Source: Fritsch & Carlson, SIAM J. Numer. Anal. 17 (1980) 238 (cubic Hermite form; slopes by three points).
 */
export function cubicThrough(
  times: ArrayLike<number>,
  values: ArrayLike<number>,
  at: number,
  { from = 0, to = times.length }: { readonly from?: number; readonly to?: number } = {},
): number {
  if (to - from < 3 || !(at >= times[from]! && at <= times[to - 1]!)) return Number.NaN;
  const i = Math.min(Math.max(lowerBound(times, at) - 1, from), to - 2);
  const slopeAt = (k: number): number => {
    const middle = Math.min(Math.max(k, from + 1), to - 2);
    const [t0, t1, t2] = [times[middle - 1]!, times[middle]!, times[middle + 1]!];
    const first = (values[middle]! - values[middle - 1]!) / (t1 - t0);
    const bend = ((values[middle + 1]! - values[middle]!) / (t2 - t1) - first) / (t2 - t0);
    return first + bend * (2 * times[k]! - t0 - t1);
  };
  const h = times[i + 1]! - times[i]!;
  const u = (at - times[i]!) / h;
  const [a, b] = [values[i]!, values[i + 1]!];
  return a * (1 + 2 * u) * (1 - u) ** 2 + b * u * u * (3 - 2 * u) + h * u * (1 - u) * (slopeAt(i) * (1 - u) - slopeAt(i + 1) * u);
}
