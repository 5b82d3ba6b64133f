/**
 * A quantity's value at other times, straight between its readings.
 *
 * @param timeS time of each row, s, never falling
 * @param values readings, NaN where there is none
 * @param atS times asked for, s
 * @param options `maxGapS`: readings further apart than this are not joined; default 1
 * @returns one value for each time asked for; NaN outside the readings and inside a gap
 */
export function readingsAt(
  timeS: Float64Array,
  values: Float64Array,
  atS: Float64Array,
  options: { readonly maxGapS?: number } = {},
): Float64Array {
  const { maxGapS = 1 } = options;
  const rows = new Uint32Array(values.length);
  let count = 0;
  for (let i = 0; i < values.length; i++) if (Number.isFinite(values[i]!)) rows[count++] = i;
  const out = new Float64Array(atS.length).fill(Number.NaN);
  let next = 0;
  for (let i = 0; i < atS.length; i++) {
    const at = atS[i]!;
    if (i > 0 && at < atS[i - 1]!) next = 0;
    while (next < count && timeS[rows[next]!]! < at) next++;
    if (next >= count) continue;
    const high = rows[next]!;
    if (timeS[high] === at) {
      out[i] = values[high]!;
      continue;
    }
    if (next === 0) continue;
    const low = rows[next - 1]!;
    const gapS = timeS[high]! - timeS[low]!;
    if (gapS > maxGapS) continue;
    out[i] = values[low]! + ((values[high]! - values[low]!) * (at - timeS[low]!)) / gapS;
  }
  return out;
}
