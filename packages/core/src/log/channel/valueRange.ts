/** Range of a column's numbers as logged, blanks left out. */
export class ValueRange {
  readonly count: number;
  readonly min: number;
  readonly max: number;
  private readonly values: Float64Array;
  private middle: number | null = null;

  constructor(values: Float64Array) {
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
    this.values = values;
    this.count = count;
    this.min = count === 0 ? Number.NaN : min;
    this.max = count === 0 ? Number.NaN : max;
  }

  /** Middle number, from at most 4,001 of them; worked out when first asked for. */
  get median(): number {
    if (this.middle === null) this.middle = middleOf(this.values) ?? (this.min + this.max) / 2;
    return this.middle;
  }
}

export function rangeOf(values: Float64Array): ValueRange {
  return new ValueRange(values);
}

function middleOf(values: Float64Array): number | null {
  const step = Math.max(1, Math.floor(values.length / 4001));
  const some = new Float64Array(Math.ceil(values.length / step));
  let count = 0;
  for (let i = 0; i < values.length; i += step) if (!Number.isNaN(values[i]!)) some[count++] = values[i]!;
  if (count === 0) return null;
  return some.subarray(0, count).sort()[count >> 1]!;
}
