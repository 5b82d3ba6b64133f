import { median3, type RatioSeries, ratioSeries } from './ratioSeries.js';
import { type MotionSignals, quantileOf } from './signals.js';
import type { Pull } from './stretch.js';

/** Excess of engine over road speed that counts as spin; tyres that grip slip less than this under full power on a dry road. */
const leastSpin = 0.025;
/** The spin is cut from where to where the excess is beyond this. */
const restOfSpin = 0.004;
const marginBeforeS = 0.1;
const marginAfterS = 0.25;

/**
 * Finds where engine speed runs ahead of road speed for a while and comes back: the tyres spin. Cut from the first to the last trace
 * of it, because engine speed says nothing about the car in between.
 *
 * The usual ratio is fitted with a part in 1/speed, which is what a delay of the road-speed channel does to it.
 */
export function wheelspinCuts(signals: MotionSignals, span: { readonly fromS: number; readonly toS: number }): Pull['cuts'] {
  const series = ratioSeries(signals, span);
  if (series.ratio.length < 12 || (signals.road?.channel.refreshS?.median ?? 1) > 0.3) return [];
  const { excess, scatter } = excessOf(series);
  const core = Math.max(leastSpin, 5 * scatter);
  const edge = Math.max(restOfSpin, 1.5 * scatter);
  const cuts: { fromS: number; toS: number; reason: string }[] = [];
  const smooth = excess.map((_, i) => median3(excess, i));
  for (let i = 0; i + 1 < smooth.length; i++) {
    if (smooth[i]! <= core || smooth[i + 1]! <= core) continue;
    let from = i;
    let to = i + 1;
    while (from > 0 && smooth[from - 1]! > edge) from--;
    while (to + 1 < smooth.length && smooth[to + 1]! > edge) to++;
    cuts.push({
      fromS: series.timeS[from]! - marginBeforeS,
      toS: series.timeS[to]! + marginAfterS,
      reason: 'wheelspin: engine speed runs ahead of road speed',
    });
    i = to;
  }
  return cuts;
}

/** Ratio over its usual value, less 1. The usual value is κ + c/v, fitted so that readings above it count little. */
function excessOf({ ratio, speedMps }: RatioSeries): { readonly excess: readonly number[]; readonly scatter: number } {
  let weights = ratio.map(() => 1);
  let excess: number[] = [];
  let scatter = 0;
  for (let round = 0; round < 8; round++) {
    let w = 0;
    let wx = 0;
    let wxx = 0;
    let wy = 0;
    let wxy = 0;
    ratio.forEach((y, i) => {
      const x = 1 / speedMps[i]!;
      w += weights[i]!;
      wx += weights[i]! * x;
      wxx += weights[i]! * x * x;
      wy += weights[i]! * y;
      wxy += weights[i]! * x * y;
    });
    const spread = w * wxx - wx * wx;
    const slope = spread > 1e-12 * w * wxx ? (w * wxy - wx * wy) / spread : 0;
    const level = (wy - slope * wx) / w;
    excess = ratio.map((y, i) => y / (level + slope / speedMps[i]!) - 1);
    scatter = quantileOf(excess.map(Math.abs), 0.4) / 0.524;
    const limit = Math.max(1.5 * scatter, 0.002);
    weights = excess.map((value) => (value > limit ? (limit / value) ** 2 : 1));
  }
  return { excess, scatter };
}
