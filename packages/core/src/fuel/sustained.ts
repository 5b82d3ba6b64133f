/** Options of {@link sustainedHighest}. */
export interface SustainedOptions {
  /** How long a level must be held to count, s; at least two readings in a row are always asked for. Default 0.1. */
  readonly holdS?: number;
}

/** A level that was held, and where. */
export interface Sustained {
  readonly value: number;
  /** Index into the arrays of the first reading that holds it. */
  readonly index: number;
}

/**
 * The highest level that a reading held for a while, so that one stray reading decides nothing.
 *
 * max over windows of min(values in the window), a window being two readings in a row or more, and at least `holdS` long.
 *
 * @param timeS time of each reading, s, never falling
 * @param values readings, any unit; NaN where there is none, and such rows are left out
 * @returns the level and the index where it starts; null with fewer than two readings or no window long enough
 *
 * @example
 * ```ts
 * import { sustainedHighest } from '@pullproof/core';
 *
 * const timeS = Float64Array.of(0, 0.1, 0.2, 0.3, 0.4);
 * sustainedHighest(timeS, Float64Array.of(0.8, 0.81, 0.95, 0.8, 0.8))?.value; // => 0.81
 * ```
 */
export function sustainedHighest(timeS: Float64Array, values: Float64Array, options: SustainedOptions = {}): Sustained | null {
  const { holdS = 0.1 } = options;
  const rows: number[] = [];
  for (let i = 0; i < values.length; i++) if (Number.isFinite(values[i]!)) rows.push(i);
  let best: Sustained | null = null;
  for (let from = 0; from < rows.length; from++) {
    let lowest = values[rows[from]!]!;
    for (let to = from + 1; to < rows.length; to++) {
      lowest = Math.min(lowest, values[rows[to]!]!);
      // A millionth of a second of slack: 0.3 − 0.2 is a little under 0.1.
      if (timeS[rows[to]!]! - timeS[rows[from]!]! < holdS - 1e-6) continue;
      if (best === null || lowest > best.value) best = { value: lowest, index: rows[from]! };
      break;
    }
  }
  return best;
}
