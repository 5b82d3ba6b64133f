import type { Channel } from '../log/index.js';
import { type LocatedPull, pullValues } from './pullReadings.js';

/** A quantity against engine speed over several pulls. */
export interface QuantityCurve {
  readonly engineSpeedRpm: Float64Array;
  /** Mean over the pulls that have a value; NaN where none has. */
  readonly mean: Float64Array;
  /** Standard deviation between pulls, pooled over neighbouring points; NaN with fewer than two pulls. */
  readonly pullToPull: Float64Array;
  readonly pulls: readonly Float64Array[];
  /** Pulls with a value at each point. */
  readonly count: Uint16Array;
}

/**
 * Mean of a channel over pulls at equal engine speed.
 *
 * @param pulls Pulls of one setup, with the channel to use in each (null where the log has none).
 * @param gridRpm Engine speeds.
 * @returns Null when no pull has the channel.
 */
export function quantityCurve(
  pulls: readonly (LocatedPull & { readonly channel: Channel | null })[],
  gridRpm: Float64Array,
): QuantityCurve | null {
  const curves = pulls.flatMap((pull) => (pull.channel === null ? [] : [pullValues(pull, pull.channel, gridRpm)]));
  return curves.length === 0 ? null : meanOfCurves(curves, gridRpm);
}

/**
 * Mean of several pulls' curves on one grid, and how far the pulls lie apart.
 *
 * @param curves One for each pull, values on the grid, NaN where it has none.
 * @param gridRpm Engine speeds.
 * @returns Mean and pooled standard deviation between pulls at each point.
 */
export function meanOfCurves(curves: readonly Float64Array[], gridRpm: Float64Array): QuantityCurve {
  const points = gridRpm.length;
  const mean = new Float64Array(points);
  const variance = new Float64Array(points);
  const count = new Uint16Array(points);
  for (let i = 0; i < points; i++) {
    let seen = 0;
    let sum = 0;
    for (let p = 0; p < curves.length; p++) {
      const value = curves[p]![i]!;
      if (Number.isNaN(value)) continue;
      seen++;
      sum += value;
    }
    const own = seen === 0 ? Number.NaN : sum / seen;
    let squares = 0;
    for (let p = 0; p < curves.length && seen > 1; p++) {
      const off = curves[p]![i]! - own;
      if (!Number.isNaN(off)) squares += off ** 2;
    }
    count[i] = seen;
    mean[i] = own;
    variance[i] = seen < 2 ? Number.NaN : squares / (seen - 1);
  }
  const pullToPull = variance.map((_, i) => {
    let sum = 0;
    let seen = 0;
    for (let j = Math.max(0, i - 3); j <= Math.min(points - 1, i + 3); j++) {
      if (Number.isNaN(variance[j]!)) continue;
      sum += variance[j]!;
      seen++;
    }
    return seen === 0 ? Number.NaN : Math.sqrt(sum / seen);
  });
  return { engineSpeedRpm: gridRpm, mean, pullToPull, pulls: curves, count };
}
