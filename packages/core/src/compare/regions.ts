import type { PowerDifference } from './difference.js';

/** What something besides the part could have made of a difference, on its grid, W. */
export interface OpenRange {
  readonly lowW: Float64Array;
  readonly highW: Float64Array;
}

/** A span of engine speed with one verdict. */
export interface VerdictRegion {
  readonly fromRpm: number;
  readonly toRpm: number;
  readonly verdict: 'gain' | 'loss' | 'no clear change';
  readonly meanW: number;
  readonly lowW: number;
  readonly highW: number;
  /** Mean as a share of the power before. */
  readonly meanShare: number;
  /** How far beyond the region the change, though faded below half, is still clear of zero. */
  readonly clearFromRpm: number;
  readonly clearToRpm: number;
}

/** Shortest span that gets a verdict of its own, in points of the grid (50 rpm apart). */
export const leastPoints = 4;

/**
 * Divides the engine-speed range by verdict.
 *
 * A point is clear where the simultaneous band leaves out both zero and everything that else could have made of it. A gain or loss is named from
 * where to where it is at least half of its own level; beyond, as far as it is still clear, it is said to fade (`clearFromRpm`,
 * `clearToRpm`). Points that are not clear form regions of no clear change. Fading stretches belong to no region, nor do points without a
 * number.
 *
 * @param open What the explanations could have made together, from `combined`.
 * @param besides The same without the air: the bounds of a region's mean count it. None when left out.
 * @returns Regions in order of engine speed.
 */
export function verdictRegions(difference: PowerDifference, open: OpenRange, besides?: OpenRange): VerdictRegion[] {
  const { differenceW, beforeW, band, engineSpeedRpm } = difference;
  const points = differenceW.length;
  const sign = Array.from(differenceW, (value, i) => {
    const half = band.simultaneous[i]!;
    if (!Number.isFinite(value) || !Number.isFinite(half)) return null;
    if (value - half > Math.max(0, open.highW[i]!)) return 1;
    if (value + half < Math.min(0, open.lowW[i]!)) return -1;
    return 0;
  });
  const share = differenceW.map((value, i) => value / beforeW[i]!);
  const regions: VerdictRegion[] = [];
  const add = (from: number, to: number, verdict: VerdictRegion['verdict'], clearFrom: number, clearTo: number): void => {
    const mean = meanOf(differenceW, from, to);
    const half = band.ofMean(from, to);
    const reach = (side: Float64Array | undefined): number => {
      const own = side === undefined ? 0 : Math.abs(meanOf(side, from, to));
      return Number.isFinite(own) ? own : 0;
    };
    regions.push({
      fromRpm: engineSpeedRpm[from]!,
      toRpm: engineSpeedRpm[to - 1]!,
      verdict,
      meanW: mean,
      lowW: mean - Math.hypot(half, reach(besides?.highW)),
      highW: mean + Math.hypot(half, reach(besides?.lowW)),
      meanShare: meanOf(share, from, to),
      clearFromRpm: engineSpeedRpm[clearFrom]!,
      clearToRpm: engineSpeedRpm[clearTo - 1]!,
    });
  };
  for (let from = 0; from < points; ) {
    let to = from + 1;
    while (to < points && sign[to] === sign[from]) to++;
    if (to - from >= leastPoints || points < leastPoints) {
      if (sign[from] === 0) add(from, to, 'no clear change', from, to);
      else if (sign[from] !== null) {
        for (const [a, b] of aboveHalf(share, from, to)) {
          if (b - a >= leastPoints) add(a, b, sign[from] === 1 ? 'gain' : 'loss', from, to);
        }
      }
    }
    from = to;
  }
  return regions;
}

/** Parts of [from, to) in which the change is at least half of its level; the level is the mean of those parts. */
function aboveHalf(share: Float64Array, from: number, to: number): [number, number][] {
  const sizes = share.subarray(from, to).map(Math.abs);
  let level = Math.max(...sizes);
  for (let round = 0; round < 20; round++) {
    const high = sizes.filter((value) => value >= level / 2);
    const next = high.reduce((sum, value) => sum + value, 0) / high.length;
    if (Math.abs(next - level) < 1e-9 * level) break;
    level = next;
  }
  const parts: [number, number][] = [];
  for (let i = 0; i < sizes.length; i++) {
    if (sizes[i]! < level / 2) continue;
    const last = parts[parts.length - 1];
    if (last !== undefined && last[1] === from + i) last[1] = from + i + 1;
    else parts.push([from + i, from + i + 1]);
  }
  return parts;
}

/** Mean of the values [from, to). */
export function meanOf(values: Float64Array, from: number, to: number): number {
  let sum = 0;
  for (let i = from; i < to; i++) sum += values[i]!;
  return sum / (to - from);
}
