import { lowerBound } from '../maths/index.js';
import { joinableGapS, type MotionSignals, valueAt } from './signals.js';

/** Engine speed over road speed at each fresh reading of engine speed. */
export interface RatioSeries {
  readonly timeS: readonly number[];
  /** rpm per m/s. */
  readonly ratio: readonly number[];
  readonly speedMps: readonly number[];
}

/** Ratio of engine to road speed in a span, where the car moves faster than 3 m/s and both are known. */
export function ratioSeries({ engine, road }: MotionSignals, span: { readonly fromS: number; readonly toS: number }): RatioSeries {
  const timeS: number[] = [];
  const ratio: number[] = [];
  const speedMps: number[] = [];
  if (engine === null || road === null) return { timeS, ratio, speedMps };
  const gapS = joinableGapS(road);
  for (let i = lowerBound(engine.timeS, span.fromS); i < engine.timeS.length && engine.timeS[i]! <= span.toS; i++) {
    const speed = valueAt(road, engine.timeS[i]!, gapS);
    if (!(speed > 3)) continue;
    timeS.push(engine.timeS[i]!);
    ratio.push(engine.values[i]! / speed);
    speedMps.push(speed);
  }
  return { timeS, ratio, speedMps };
}

/** Median of a value and its two neighbours: a single wild one is passed over. */
export function median3(values: readonly number[], at: number): number {
  const a = values[Math.max(0, at - 1)]!;
  const b = values[at]!;
  const c = values[Math.min(values.length - 1, at + 1)]!;
  return Math.max(Math.min(a, b), Math.min(Math.max(a, b), c));
}
