import { readingsAt } from './readingsAt.js';

/**
 * Moves an exhaust reading back to the moment it tells about.
 *
 * out(t) = values(t + delay(t))
 *
 * @param timeS time of each row, s, never falling
 * @param values readings; NaN where there is none
 * @param delayS delay at each row, s, see delaysAt; NaN gives NaN
 * @param options `maxGapS`: readings further apart are not joined; default 1
 * @returns reading that belongs to each row; NaN where the recording ends before it arrives
 */
export function removeDelay(
  timeS: Float64Array,
  values: Float64Array,
  delayS: Float64Array,
  options: { readonly maxGapS?: number } = {},
): Float64Array {
  return readingsAt(
    timeS,
    values,
    timeS.map((t, i) => t + delayS[i]!),
    options,
  );
}

/**
 * Marks the rows of a pull in which the mixture is steady: after the throttle has settled and the first gas of the pull has reached the sensor, and as long as what is read still comes from the pull.
 *
 * @param timeS time of each row of the pull, s
 * @param delayS delay at each row, s
 * @param options `settleS` after the start, default 0.5
 * @returns 1 where the row (delay removed) may be used, 0 elsewhere
 */
export function steadyRows(timeS: Float64Array, delayS: Float64Array, options: { readonly settleS?: number } = {}): Uint8Array {
  const { settleS = 0.5 } = options;
  const start = timeS[0] ?? 0;
  const end = timeS.at(-1) ?? 0;
  return Uint8Array.from(timeS, (t, i) => (t - start >= settleS && t + delayS[i]! <= end ? 1 : 0));
}
