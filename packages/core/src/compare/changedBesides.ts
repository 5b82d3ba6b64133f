import type { QuantityCurve } from '../stretches/index.js';
import type { PowerDifference } from './difference.js';
import { leastPoints, meanOf, type VerdictRegion } from './regions.js';

/** Whether something that changed could stand behind the difference; `no clear change` where power shows none that it could explain. */
export type CouldExplain = 'yes' | 'no' | 'partly' | 'cannot tell' | 'no clear change';

/** Something that was different between two setups, at equal engine speed, after minus before. */
export interface OtherChange {
  readonly quantity: string;
  readonly before: number | null;
  readonly after: number | null;
  readonly unit: string;
  readonly couldExplain: CouldExplain;
  readonly reason: string;
  readonly couldExplainW: number | null;
  /** Engine speeds that the answer, and the values of a channel, are of; null or left out for all that is compared. */
  readonly spanRpm?: readonly [from: number, to: number] | null;
}

/** Points of the grid of a difference, [from, to), with their engine speeds; null for the whole of it. */
export interface ChangeSpan {
  readonly from: number;
  readonly to: number;
  readonly spanRpm: readonly [from: number, to: number] | null;
}

/** A change of power in a span: mean before, change, and half-width of its band, W. */
export interface SpanChange {
  readonly beforeW: number;
  readonly changeW: number;
  readonly halfW: number;
}

/**
 * Where power changed, for what could explain it: every region with a gain or a loss; without one, wherever the band of the curve alone
 * leaves out zero, such as where only the air stands in the way of a claim; else everything that is compared.
 */
export function changeSpans(difference: PowerDifference, regions: readonly VerdictRegion[]): ChangeSpan[] {
  const { engineSpeedRpm, differenceW, band } = difference;
  const points = engineSpeedRpm.length;
  const span = (from: number, to: number): ChangeSpan => ({ from, to, spanRpm: [engineSpeedRpm[from]!, engineSpeedRpm[to - 1]!] });
  const claimed = regions
    .filter(({ verdict }) => verdict !== 'no clear change')
    .map(({ fromRpm, toRpm }) => span(engineSpeedRpm.indexOf(fromRpm), engineSpeedRpm.indexOf(toRpm) + 1));
  if (claimed.length > 0) return claimed;
  const sign = Array.from(differenceW, (value, i) => (Math.abs(value) > band.simultaneous[i]! ? Math.sign(value) : 0));
  const clear: ChangeSpan[] = [];
  for (let from = 0; from < points; ) {
    let to = from + 1;
    while (to < points && sign[to] === sign[from]) to++;
    if (sign[from] !== 0 && to - from >= leastPoints) clear.push(span(from, to));
    from = to;
  }
  return clear.length > 0 ? clear : [{ from: 0, to: points, spanRpm: null }];
}

/** Answers from the one that says most to the one that says least. */
const byStrength: readonly CouldExplain[] = ['yes', 'partly', 'cannot tell', 'no', 'no clear change'];

/** Of answers for several spans the one that says most, the first of equals; null for none. */
export function strongest<Answer extends { readonly couldExplain: CouldExplain }>(answers: readonly Answer[]): Answer | null {
  const rank = (answer: Answer): number => byStrength.indexOf(answer.couldExplain);
  return answers.reduce<Answer | null>((best, answer) => (best === null || rank(answer) < rank(best) ? answer : best), null);
}

/** Means over a span. */
export function spanChange(difference: PowerDifference, { from, to }: ChangeSpan): SpanChange {
  const mean = (values: Float64Array): number => meanOf(values, from, to);
  return { beforeW: mean(difference.beforeW), changeW: mean(difference.differenceW), halfW: mean(difference.band.simultaneous) };
}

/** How much power one unit of a quantity may move, as a share of power; the range of what is usual. */
interface PowerRule {
  readonly quantity: string;
  readonly unit: string;
  /** Changes smaller than this are not worth a line. */
  readonly least: number;
  /** Share of power for one unit of change, lowest and highest. */
  readonly share: (before: number, after: number) => readonly [low: number, high: number];
  readonly why: string;
}

/** Common practice, no source, unless a source is named. */
export const powerRules: readonly PowerRule[] = [
  {
    quantity: 'charge-temperature',
    unit: 'K',
    least: 2,
    // Ideal gas at equal pressure: air mass ∝ 1/T; square root as in ISO 1585's temperature term is the low end.
    share: (before, after) => [(before / after) ** 1.2 - 1, (before / after) ** 0.5 - 1],
    why: 'cooler charge holds more air and stands more spark',
  },
  {
    quantity: 'intake-temperature',
    unit: 'K',
    least: 2,
    share: (before, after) => [(before / after) ** 1.2 - 1, (before / after) ** 0.5 - 1],
    why: 'cooler air is denser',
  },
  {
    quantity: 'spark-advance',
    unit: 'deg',
    least: 0.5,
    share: (before, after) => [0, 0.012 * (after - before)],
    why: 'up to about 1.2 % of power a degree while short of best torque, nothing at it',
  },
  {
    quantity: 'knock-retard',
    unit: 'deg',
    least: 0.3,
    share: (before, after) => [-0.012 * (after - before), 0],
    why: 'spark taken away by the knock control costs up to about 1.2 % a degree',
  },
  {
    quantity: 'lambda',
    unit: '1',
    least: 0.008,
    share: (before, after) => [-0.35 * Math.abs(after - before), 0.35 * Math.abs(after - before)],
    why: 'power is flat near its best mixture; away from it, some 0.35 % for each 0.01 of lambda',
  },
  {
    quantity: 'throttle',
    unit: '1',
    least: 0.02,
    share: (before, after) => [Math.min(0, 0.5 * (after - before)), Math.max(0, 0.5 * (after - before))],
    why: 'near full opening power follows the angle by less than half',
  },
  {
    quantity: 'ethanol-share',
    unit: '1',
    least: 0.03,
    share: (before, after) => [Math.min(0, 0.08 * (after - before)), Math.max(0, 0.08 * (after - before))],
    why: 'alcohol cools the charge and resists knock',
  },
  {
    quantity: 'short-term-fuel-trim',
    unit: '1',
    least: 0.03,
    share: () => [-0.005, 0.005],
    why: 'a trim shows a changed fuel need, it makes no power itself',
  },
  {
    quantity: 'coolant-temperature',
    unit: 'K',
    least: 6,
    share: (before, after) => [-0.0008 * Math.abs(after - before), 0.0008 * Math.abs(after - before)],
    why: 'friction and charge heating follow the warm-up',
  },
];

/**
 * Judges a channel that differs between two setups at equal engine speed.
 *
 * @param rule What the quantity may do to power.
 * @param before Mean curve of the earlier setup on the common grid.
 * @param after The same of the later one.
 * @param power Power before, difference, and half-width of the difference's band on that grid.
 * @param spans From `changeSpans`: each is judged by itself, and the answer that says most counts. Default: the whole grid.
 * @returns Null where the change is below `least`, or there is no engine speed with possible values of both. Where the quantity changed, but
 * in none of the spans, there is no clear change to explain.
 */
export function judgeChannel(
  rule: PowerRule,
  before: QuantityCurve,
  after: QuantityCurve,
  power: ChannelPower,
  spans: readonly ChangeSpan[] = [],
): OtherChange | null {
  const all = judgeSpan(rule, before, after, power, { from: 0, to: before.mean.length, spanRpm: null });
  if (spans.every(({ spanRpm }) => spanRpm === null)) return all;
  const most = strongest(spans.map((span) => judgeSpan(rule, before, after, power, span)).filter((judged) => judged !== null));
  if (most !== null || all === null) return most;
  return { ...all, couldExplain: 'no clear change', reason: `where it changed, power shows no clear change; ${all.reason}` };
}

interface ChannelPower {
  readonly beforeW: Float64Array;
  readonly differenceW: Float64Array;
  readonly halfW: Float64Array;
}

function judgeSpan(
  rule: PowerRule,
  before: QuantityCurve,
  after: QuantityCurve,
  power: ChannelPower,
  { from, to, spanRpm }: ChangeSpan,
): OtherChange | null {
  let a = 0;
  let b = 0;
  let count = 0;
  let lowW = 0;
  let highW = 0;
  let changeW = 0;
  let halfW = 0;
  for (let i = from; i < to; i++) {
    const x = before.mean[i]!;
    const y = after.mean[i]!;
    if (Number.isNaN(x) || Number.isNaN(y)) continue;
    const [low, high] = rule.share(x, y);
    // No effect can be told of what cannot be, such as a temperature below absolute zero.
    if (!Number.isFinite(low) || !Number.isFinite(high)) continue;
    a += x;
    b += y;
    lowW += power.beforeW[i]! * Math.min(low, high);
    highW += power.beforeW[i]! * Math.max(low, high);
    changeW += power.differenceW[i]!;
    halfW += power.halfW[i]!;
    count++;
  }
  if (count === 0 || Math.abs(b - a) / count < rule.least) return null;
  const verdict = couldExplain(changeW / count, halfW / count, lowW / count, highW / count);
  const most = Math.abs(highW) > Math.abs(lowW) ? highW / count : lowW / count;
  return {
    quantity: rule.quantity,
    before: a / count,
    after: b / count,
    unit: rule.unit,
    couldExplain: verdict,
    reason: `${rule.why} (common practice, no source)`,
    couldExplainW: most,
    spanRpm,
  };
}

/**
 * Whether an effect between `lowW` and `highW` could be the change seen.
 *
 * Yes: it reaches the change. Partly: it reaches at least a third of it, or what it leaves of it is not clear of zero. No: it is smaller,
 * or works the other way. Where the change itself is not clear of zero, an effect larger than the band's half-width could hide one: cannot
 * tell; a smaller one has no clear change to explain. Nothing is told of values that are no numbers.
 */
export function couldExplain(changeW: number, halfW: number, lowW: number, highW: number): CouldExplain {
  if (![changeW, halfW, lowW, highW].every(Number.isFinite)) return 'cannot tell';
  const clear = Math.abs(changeW) > halfW;
  const most = changeW >= 0 ? Math.max(0, highW) : Math.max(0, -lowW);
  if (!clear) return Math.max(Math.abs(lowW), Math.abs(highW)) > halfW ? 'cannot tell' : 'no clear change';
  if (most >= Math.abs(changeW)) return 'yes';
  return most > 0 && most >= Math.min(Math.abs(changeW) / 3, Math.abs(changeW) - halfW) ? 'partly' : 'no';
}
