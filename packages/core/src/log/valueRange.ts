import type { ValueRange } from './guessUnit.js';

/** Least, largest and middle number of a column, blanks left out; the middle from at most 4,001 of them. */
export function rangeOf(values: Float64Array): ValueRange {
  let min = Number.POSITIVE_INFINITY;
  let max = Number.NEGATIVE_INFINITY;
  let count = 0;
  for (let i = 0; i < values.length; i++) {
    const value = values[i]!;
    if (Number.isNaN(value)) continue;
    count++;
    if (value < min) min = value;
    if (value > max) max = value;
  }
  if (count === 0) return { count, min: Number.NaN, max: Number.NaN, median: Number.NaN };
  const step = Math.max(1, Math.floor(values.length / 4001));
  const some: number[] = [];
  for (let i = 0; i < values.length; i += step) if (!Number.isNaN(values[i]!)) some.push(values[i]!);
  if (some.length === 0) return { count, min, max, median: (min + max) / 2 };
  some.sort((a, b) => a - b);
  return { count, min, max, median: some[some.length >> 1]! };
}
