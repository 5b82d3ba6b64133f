import { localPolynomial, lowerBound } from '../maths/index.js';
import { alikePulls } from './alikePulls.js';
import type { Demand } from './demand.js';
import { median3, ratioSeries } from './ratioSeries.js';
import { joinableGapS, type MotionSignals, quantileOf, type Readings } from './signals.js';
import type { Pull, SparsePull } from './stretch.js';
import { wheelspinCuts } from './wheelspin.js';

/** Least length and gain in engine speed that make a pull. */
const leastDurationS = 1.5;
const leastRise = 0.03;
const settleS = 0.3;
/** Engine speed that comes more rarely, s, is a slow logger's: then a pull is short in readings, and shorter ones and fewer readings have to do. */
const rareS = 0.25;
const leastSlowDurationS = 1;
const leastReadings = 5;
/** Three readings of engine speed are the fewest that show a bend. */
const leastSlowReadings = 3;

/**
 * Finds full-load pulls: the demand stands at full, the engine gains speed, one gear holds. Cut at shifts, lifts, wheelspin and
 * torque cuts; trimmed where load is still building or already released.
 *
 * @param signals Engine and road speed of a log.
 * @param demand What tells full load; null leaves engine acceleration alone to tell it.
 * @returns Pulls in order of time, and full-load stretches with too few readings of engine speed to be one.
 */
export function findPulls(signals: MotionSignals, demand: Demand | null): FoundPulls {
  const { engine, log } = signals;
  if (engine === null) return { pulls: [], sparse: [] };
  const pulls: Pull[] = [];
  const sparse: SparsePull[] = [];
  for (const part of log.parts) {
    const fromS = log.timeS[part.from]!;
    const toS = log.timeS[part.to - 1]!;
    const loaded =
      demand === null ? risingSpans(engine, fromS, toS).map((span) => ({ ...span, sure: span })) : fullLoadSpans(demand, fromS, toS);
    for (const span of loaded) pulls.push(...pullsWithin(signals, span, demand, sparse));
  }
  return { pulls: demand === null ? alikePulls(pulls) : pulls, sparse };
}

/** Pulls, and what would be one if the log held enough readings of engine speed. */
export interface FoundPulls {
  readonly pulls: readonly Pull[];
  readonly sparse: readonly SparsePull[];
}

interface Span {
  readonly fromS: number;
  readonly toS: number;
}

/** A span at full load: from the first to the last moment at which the recording says full, and the part that surely was. */
interface Loaded extends Span {
  readonly sure: Span;
}

/** Spans in which every fresh reading of the demand is at full; a gap between readings ends one. */
function fullLoadSpans(demand: Demand, fromS: number, toS: number): Loaded[] {
  const { timeS, values, channel } = demand.readings;
  const refreshS = channel.refreshS?.median ?? 0;
  const gapS = Math.max(0.5, 3 * refreshS);
  const spans: Loaded[] = [];
  let start = -1;
  const close = (last: number): void => {
    if (start >= 0 && last > start) {
      // A slow logger goes on showing the last reading until the next one.
      const shownUntilS = refreshS > 0.25 ? Math.min(timeS[last + 1] ?? toS, timeS[last]! + gapS, toS) : timeS[last]!;
      spans.push({ fromS: timeS[start]!, toS: shownUntilS, sure: sureSpan(demand, start, last) });
    }
    start = -1;
  };
  const end = lowerBound(timeS, toS + 1e-9);
  for (let i = lowerBound(timeS, fromS); i < end; i++) {
    if (start >= 0 && timeS[i]! - timeS[i - 1]! > gapS) close(i - 1);
    if (values[i]! >= demand.threshold) {
      if (start < 0) start = i;
    } else close(i - 1);
  }
  close(end - 1);
  return spans;
}

/** Narrows a full-load span to where the demand is within 3 % of its usual level in the span. */
function sureSpan(demand: Demand, start: number, last: number): Span {
  const { timeS, values } = demand.readings;
  const level = quantileOf(values.subarray(start, last + 1), 0.5) - 0.03 * (demand.full - demand.rest);
  let a = start;
  let b = last;
  while (a < b && values[a]! < level) a++;
  while (b > a && values[b]! < level) b--;
  // A foot lifts before the next reading shows it.
  return { fromS: timeS[a]!, toS: timeS[b]! - Math.min(demand.readings.channel.refreshS?.median ?? 0, 0.1) };
}

/** With no channel that tells full load: long, strong, unbroken gains of engine speed. */
function risingSpans(engine: Readings, fromS: number, toS: number): Span[] {
  const { timeS, values } = engine;
  const spans: Span[] = [];
  const noise = 4 * Math.max(engine.channel.quantum, 10);
  let start = -1;
  let peak = -1;
  for (let i = lowerBound(timeS, fromS); i < timeS.length && timeS[i]! <= toS; i++) {
    if (start < 0) {
      start = i;
      peak = i;
    }
    if (values[i]! > values[peak]!) peak = i;
    const fell = values[peak]! - values[i]! > noise;
    const stalled = timeS[i]! - timeS[peak]! > 1.5;
    if (fell || stalled || timeS[i]! > toS) {
      if (values[peak]! - values[start]! > 1200 && values[peak]! > 1.3 * values[start]!)
        spans.push({ fromS: timeS[start]!, toS: timeS[peak]! });
      start = i;
      peak = i;
    } else if (values[i]! < values[start]! + noise / 4 && values[peak]! - values[start]! < noise) {
      start = i;
      peak = i;
    }
  }
  if (start >= 0 && values[peak]! - values[start]! > 1200 && values[peak]! > 1.3 * values[start]!)
    spans.push({ fromS: timeS[start]!, toS: timeS[peak]! });
  return spans;
}

/** Splits one full-load span at shifts and cuts, and trims what is left. */
function pullsWithin(signals: MotionSignals, loaded: Loaded, demand: Demand | null, sparse: SparsePull[]): Pull[] {
  const engine = signals.engine!;
  const pulls: Pull[] = [];
  const slow = (engine.channel.refreshS?.median ?? 0) > rareS;
  const needed = slow ? leastSlowReadings : leastReadings;
  for (const gearSpan of splitAtShifts(signals, loaded)) {
    const trimmed = { fromS: Math.max(gearSpan.fromS, loaded.sure.fromS) + settleS, toS: Math.min(gearSpan.toS, loaded.sure.toS) };
    const readings = readingsIn(engine, trimmed);
    const tooFew = readings < needed || trimmed.toS - trimmed.fromS < leastSlowDurationS;
    if (slow && tooFew && gearSpan.toS - gearSpan.fromS >= leastSlowDurationS && gains(engine, gearSpan)) {
      sparse.push({ startS: gearSpan.fromS, endS: gearSpan.toS, readings: Math.max(0, readings), needed });
      continue;
    }
    if (trimmed.toS - trimmed.fromS < (slow ? leastSlowDurationS : leastDurationS)) continue;
    const cuts = [...torqueCuts(engine, trimmed), ...wheelspinCuts(signals, trimmed)].sort((a, b) => a.fromS - b.fromS);
    const spans = without(trimmed, cuts).filter((span) => readingsIn(engine, span) >= needed);
    if (spans.length === 0) continue;
    const fromRpm = edgeRpm(engine, spans[0]!.fromS, spans[0]!);
    const lastSpan = spans[spans.length - 1]!;
    const toRpm = edgeRpm(engine, lastSpan.toS, lastSpan);
    if (!(toRpm > fromRpm * (1 + leastRise)) || toRpm - fromRpm < 100) continue;
    pulls.push({
      kind: 'pull',
      startS: gearSpan.fromS,
      endS: gearSpan.toS,
      fromRpm,
      toRpm,
      rpmPerMps: ratioIn(signals, spans),
      evidence: demand === null ? 'engine speed alone: a long unbroken gain' : demand.evidence,
      spans,
      cuts,
    });
  }
  return pulls;
}

/** Whether engine speed ends a span well above where it began, as it does in a pull. */
function gains(engine: Readings, span: Span): boolean {
  const from = lowerBound(engine.timeS, span.fromS);
  const to = lowerBound(engine.timeS, span.toS + 1e-9);
  return to - from >= 2 && engine.values[to - 1]! > 1.2 * engine.values[from]!;
}

function readingsIn(readings: Readings, span: Span): number {
  return lowerBound(readings.timeS, span.toS + 1e-9) - lowerBound(readings.timeS, span.fromS);
}

/** Engine speed at an edge of a span: the line through the nearest readings inside. */
function edgeRpm(engine: Readings, atS: number, span: Span): number {
  const from = lowerBound(engine.timeS, span.fromS);
  const to = lowerBound(engine.timeS, span.toS + 1e-9);
  const count = Math.min(3, Math.max(1, (to - from) >> 1));
  const near = atS === span.fromS ? engine.values.subarray(from, from + count) : engine.values.subarray(to - count, to);
  return quantileOf(near, 0.5);
}

/** A shift or a flare that recovers: engine speed falls clearly below its running maximum, or its ratio to road speed steps. */
function splitAtShifts(signals: MotionSignals, loaded: Span): Span[] {
  const engine = signals.engine!;
  const { timeS, values } = engine;
  const from = lowerBound(timeS, loaded.fromS);
  const to = lowerBound(timeS, loaded.toS + 1e-9);
  const spans: Span[] = [];
  let start = from;
  let peak = from;
  for (let i = from; i < to; i++) {
    if (values[i]! >= values[peak]!) peak = i;
    const fall = Math.max(4 * engine.channel.quantum, 0.04 * values[peak]!);
    const gap = i > from && timeS[i]! - timeS[i - 1]! > joinableGapS(engine) * 2;
    if (values[peak]! - values[i]! > fall || gap) {
      const last = gap ? i - 1 : peak;
      if (last > start) spans.push({ fromS: timeS[start]!, toS: timeS[last]! });
      // Begin again at the bottom of the fall.
      let bottom = i;
      while (bottom + 1 < to && values[bottom + 1]! <= values[bottom]!) bottom++;
      start = bottom;
      peak = bottom;
      i = bottom;
    }
  }
  if (to - 1 > start) spans.push({ fromS: timeS[start]!, toS: Math.min(loaded.toS, timeS[to - 1]!) });
  return spans.flatMap((span) => splitAtRatioSteps(signals, span));
}

/** A clutch that bites late or a gear taken during the span shows as a ratio far from the span's usual one: keep the longest steady part. */
function splitAtRatioSteps(signals: MotionSignals, span: Span): Span[] {
  const { timeS, ratio } = ratioSeries(signals, span);
  if (ratio.length < 5) return [span];
  const usual = quantileOf(ratio.slice(Math.floor(ratio.length / 3)), 0.5);
  const step = 0.08 * usual;
  let from = 0;
  let to = ratio.length - 1;
  while (from < to && Math.abs(median3(ratio, from) - usual) > step) from++;
  while (to > from && Math.abs(median3(ratio, to) - usual) > step) to--;
  return [{ fromS: from === 0 ? span.fromS : timeS[from]!, toS: to === ratio.length - 1 ? span.toS : timeS[to]! }];
}

/** Median ratio of engine to road speed over the used parts. */
function ratioIn(signals: MotionSignals, spans: readonly Span[]): number | null {
  const ratios = spans.flatMap((span) => ratioSeries(signals, span).ratio);
  return ratios.length < 3 ? null : quantileOf(ratios, 0.5);
}

interface Cut extends Span {
  readonly reason: string;
}

/** Short losses of acceleration at full demand: spark or throttle taken away by the engine's control. Needs 8 readings a second. */
function torqueCuts(engine: Readings, span: Span): Cut[] {
  const refreshS = engine.channel.refreshS?.median ?? 1;
  if (refreshS > 0.125) return [];
  const from = lowerBound(engine.timeS, span.fromS);
  const to = lowerBound(engine.timeS, span.toS + 1e-9);
  const times = engine.timeS.subarray(from, to);
  const values = engine.values.subarray(from, to);
  const halfWidth = Math.max(0.15, 3.2 * refreshS);
  const slopes: number[] = [];
  const errors: number[] = [];
  for (let i = 0; i < times.length; i++) {
    const fit = localPolynomial(times, values, times[i]!, { halfWidth, order: 1 });
    slopes.push(fit === null ? Number.NaN : fit.slope);
    errors.push(fit === null ? Number.NaN : Math.sqrt(fit.slopeVariance));
  }
  const noise = roughNoise(values, engine.channel.quantum);
  const cuts: Cut[] = [];
  // The usual slope around: high enough that a cut of a second or so does not pull it down.
  const window = Math.round(2 / refreshS);
  let steepest = 0;
  for (const slope of slopes) if (slope > steepest) steepest = slope;
  for (let i = 0; i < slopes.length; i++) {
    // No slope around is above the steepest: most readings need no look around.
    if (!(slopes[i]! < 0.4 * steepest)) continue;
    const around = quantileOf(slopes.slice(Math.max(0, i - window), i + window + 1), 0.7);
    const low = slopes[i]! < 0.4 * around && around - slopes[i]! > 6 * noise * errors[i]!;
    if (!low) continue;
    const last = cuts[cuts.length - 1];
    const fromS = times[i]! - halfWidth;
    const toS = times[i]! + halfWidth;
    if (last !== undefined && fromS <= last.toS) cuts[cuts.length - 1] = { ...last, toS };
    else cuts.push({ fromS, toS, reason: 'torque cut: acceleration drops at full demand' });
  }
  return cuts;
}

/** Noise of one reading from second differences, at least what the step size brings. */
function roughNoise(values: Float64Array, quantum: number): number {
  const seconds: number[] = [];
  for (let i = 2; i < values.length; i++) seconds.push(Math.abs(values[i]! - 2 * values[i - 1]! + values[i - 2]!));
  const median = seconds.length === 0 ? 0 : quantileOf(seconds, 0.5);
  return Math.max(median / 0.6745 / Math.sqrt(6), quantum / Math.sqrt(12), 1e-6);
}

/** What is left of a span once the cuts are taken out. */
function without(span: Span, cuts: readonly Cut[]): Span[] {
  const left: Span[] = [];
  let from = span.fromS;
  for (const cut of cuts) {
    if (cut.fromS > from) left.push({ fromS: from, toS: Math.min(cut.fromS, span.toS) });
    from = Math.max(from, cut.toS);
  }
  if (from < span.toS) left.push({ fromS: from, toS: span.toS });
  return left.filter((part) => part.toS - part.fromS > 0.5);
}
