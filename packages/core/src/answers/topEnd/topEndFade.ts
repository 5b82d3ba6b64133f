import type { SetupCurve } from '../../power/index.js';

/** Points of a grid of engine speed that make up a window, [from, to). */
export interface RpmWindow {
  readonly from: number;
  readonly to: number;
  readonly fromRpm: number;
  readonly toRpm: number;
}

/** The engine speeds that are looked at, with the window low down and the one at the top. */
export interface TopEndWindows {
  readonly engineSpeedRpm: Float64Array;
  readonly low: RpmWindow;
  readonly top: RpmWindow;
}

/** Windows as shares of the engine speeds that all curves share. Fixed beforehand, so that none is chosen for what it shows. Common practice, no source. */
const lowShare = [0.1, 0.45] as const;
const topShare = [0.86, 1] as const;
/** Fewer engine speeds than this have no top end of their own. */
const leastRangeRpm = 1200;

/**
 * Windows on the engine speeds that at least half of the pulls of each curve reach.
 *
 * @returns null where they span less than 1,200 rpm
 */
export function topEndWindows(curves: readonly SetupCurve[]): TopEndWindows | null {
  const reached = curves.map(
    ({ engineSpeedRpm, pullCount, pullLevels }) =>
      new Set(Array.from(engineSpeedRpm).filter((_, i) => pullCount[i]! * 2 >= pullLevels.length)),
  );
  const engineSpeedRpm = curves[0]!.engineSpeedRpm.filter((rpm) => reached.every((set) => set.has(rpm)));
  const points = engineSpeedRpm.length;
  if (points < 3 || engineSpeedRpm[points - 1]! - engineSpeedRpm[0]! < leastRangeRpm) return null;
  const window = ([a, b]: readonly [number, number]): RpmWindow => {
    const from = Math.round(a * (points - 1));
    const to = Math.round(b * (points - 1)) + 1;
    return { from, to, fromRpm: engineSpeedRpm[from]!, toRpm: engineSpeedRpm[to - 1]! };
  };
  return { engineSpeedRpm, low: window(lowShare), top: window(topShare) };
}

/** Mean of the logarithm of torque in each window, and its trend with one standard uncertainty. */
export interface TorqueTrend {
  readonly lowLog: number;
  readonly topLog: number;
  readonly trend: number;
  readonly spread: number;
}

/** How far the trends of pulls spread before any was seen, as a share of torque, and for how many degrees of freedom that counts. Common practice, no source. */
const usualSpread = 0.008;
const usualDegrees = 2;

/**
 * Torque of one curve, or of one over another, from the low to the top window.
 *
 * @param windows from {@link topEndWindows}
 * @param after the curve
 * @param before the one that it is held against; null for none
 * @returns logarithms; the spread holds noise, pulls that differ in shape, and inputs as far as they tilt the curve
 */
export function torqueTrend(windows: TopEndWindows, after: SetupCurve, before: SetupCurve | null): TorqueTrend {
  const parts =
    before === null
      ? [{ curve: after, sign: 1 }]
      : [
          { curve: after, sign: 1 },
          { curve: before, sign: -1 },
        ];
  let lowLog = 0;
  let topLog = 0;
  let noise = 0;
  let squares = 0;
  let degrees = 0;
  const inputs = new Map<string, number>();
  for (const { curve, sign } of parts) {
    const place = new Map(Array.from(curve.engineSpeedRpm, (rpm, i) => [rpm, i]));
    const at = Array.from(windows.engineSpeedRpm, (rpm) => place.get(rpm)!);
    const log = at.map((i) => Math.log(curve.wheelPowerW[i]! / curve.engineSpeedRpm[i]!));
    lowLog += sign * mean(log, windows.low);
    topLog += sign * mean(log, windows.top);
    const weights = new Float64Array(curve.engineSpeedRpm.length);
    for (let i = windows.low.from; i < windows.low.to; i++) weights[at[i]!] = -1 / (windows.low.to - windows.low.from);
    for (let i = windows.top.from; i < windows.top.to; i++) weights[at[i]!] = weights[at[i]!]! + 1 / (windows.top.to - windows.top.from);
    noise += quadratic(weights, curve);
    const trends = pullTrends(weights, curve);
    const middle = trends.reduce((sum, value) => sum + value, 0) / trends.length;
    squares += trends.reduce((sum, value) => sum + (value - middle) ** 2, 0);
    degrees += Math.max(0, trends.length - 1);
    for (const [id, { effectW }] of curve.inputs) {
      const effect = weights.reduce((sum, weight, i) => sum + (weight * effectW[i]!) / curve.wheelPowerW[i]!, 0);
      inputs.set(id, (inputs.get(id) ?? 0) + sign * effect);
    }
  }
  const between = (squares + usualDegrees * usualSpread ** 2) / (degrees + usualDegrees);
  // The spread between pulls holds their noise; where pulls are few the noise may be the larger.
  let variance = Math.max(noise, between * parts.reduce((sum, { curve }) => sum + 1 / curve.pullLevels.length, 0));
  for (const effect of inputs.values()) variance += effect * effect;
  return { lowLog, topLog, trend: topLog - lowLog, spread: Math.sqrt(variance) };
}

/** Power at the end of the pulls against its largest before: both stretches, how far power fell, and one standard uncertainty. */
export interface PowerPastPeak {
  readonly peak: RpmWindow;
  readonly end: RpmWindow;
  /** Natural logarithm of power at the peak over power at the end: below zero where power rises to the end. */
  readonly fade: number;
  readonly spread: number;
}

/** Share of the engine speeds that is their end, and the fewest points of the grid that it takes. Of 4, 6, 9 and 14 % it missed fewest falls without telling one that was not (docs/top-end.md). */
const endShare = 0.06;
const endPoints = 4;

/**
 * How far power at the end of the pulls lies below the largest that it had before: like is held against like, the mean at the end against
 * the largest mean of any stretch as wide that ends before it. A curve that rises to the end has a fade below zero.
 *
 * @param windows from {@link topEndWindows}
 * @param curve of one setup
 */
export function powerPastPeak(windows: TopEndWindows, curve: SetupCurve): PowerPastPeak {
  const { engineSpeedRpm } = windows;
  const points = engineSpeedRpm.length;
  const place = new Map(Array.from(curve.engineSpeedRpm, (rpm, i) => [rpm, i]));
  const logs = Array.from(engineSpeedRpm, (rpm) => Math.log(curve.wheelPowerW[place.get(rpm)!]!));
  const width = Math.max(endPoints, Math.round(endShare * (points - 1)) + 1);
  const stretch = (from: number): RpmWindow => ({
    from,
    to: from + width,
    fromRpm: engineSpeedRpm[from]!,
    toRpm: engineSpeedRpm[from + width - 1]!,
  });
  const end = stretch(points - width);
  const earlier = Array.from({ length: Math.max(1, end.from - width + 1) }, (_, from) => stretch(from));
  const peak = earlier.reduce((best, one) => (mean(logs, one) > mean(logs, best) ? one : best));
  const { spread } = torqueTrend({ ...windows, low: peak, top: end }, curve, null);
  return { peak, end, fade: mean(logs, peak) - mean(logs, end), spread };
}

function mean(values: readonly number[], { from, to }: RpmWindow): number {
  let sum = 0;
  for (let i = from; i < to; i++) sum += values[i]!;
  return sum / (to - from);
}

/** Trend of the logarithm of power of each pull that has both windows. */
function pullTrends(weights: Float64Array, curve: SetupCurve): number[] {
  const used = Array.from(weights.keys()).filter((i) => weights[i] !== 0);
  return curve.pullPowerW
    .map((powerW) => used.reduce((sum, i) => sum + weights[i]! * Math.log(powerW[i]!), 0))
    .filter((trend) => Number.isFinite(trend));
}

/** wᵀ (N + S/n) w with the curve's noise covariance and that of a pull's own shape. */
function quadratic(weights: Float64Array, curve: SetupCurve): number {
  const points = weights.length;
  const used = Array.from(weights.keys()).filter((i) => weights[i] !== 0);
  let sum = 0;
  for (const i of used) {
    for (const j of used) {
      const shape = curve.shapeCovariance[i * points + j]! / Math.sqrt(curve.pullCount[i]! * curve.pullCount[j]!);
      sum += weights[i]! * weights[j]! * (curve.noiseCovariance[i * points + j]! + shape);
    }
  }
  return Math.max(0, sum);
}
