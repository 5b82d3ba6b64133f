import type { Spread } from '../log.js';

/** Time between fresh readings within parts: median, and the 5th and 95th percentile as range; null with fewer than two. */
export function refreshSpread(
  timeS: Float64Array,
  fresh: Uint8Array,
  parts: readonly { readonly from: number; readonly to: number }[],
): Spread | null {
  const steps = new Float64Array(timeS.length);
  let count = 0;
  const every = Math.max(1, Math.floor(timeS.length / 50_000));
  for (const { from, to } of parts) {
    let last = -1;
    for (let i = from; i < to; i++) {
      if (fresh[i] === 0) continue;
      if (last >= 0 && (every === 1 || i % every === 0)) steps[count++] = timeS[i]! - timeS[last]!;
      last = i;
    }
  }
  if (count === 0) return null;
  const sorted = steps.subarray(0, count).sort();
  const at = (share: number) => sorted[Math.min(sorted.length - 1, Math.floor(share * sorted.length))]!;
  return { median: at(0.5), low: at(0.05), high: at(0.95) };
}
