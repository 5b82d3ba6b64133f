import { describe, expect, it } from 'vitest';
import {
  changeSpans,
  couldExplain,
  judgeChannel,
  type PowerDifference,
  powerRules,
  strongest,
  type VerdictRegion,
} from '../../../packages/core/src/compare/index.js';
import type { QuantityCurve } from '../../../packages/core/src/stretches/index.js';

function curve(values: readonly number[]): QuantityCurve {
  return {
    engineSpeedRpm: Float64Array.from(values, (_, i) => 2000 + 50 * i),
    mean: Float64Array.from(values),
    pullToPull: Float64Array.from(values, () => 0),
    pulls: [],
    count: Uint16Array.from(values, () => 2),
  };
}

function power(count: number, beforeW: number, differenceW: number, halfW: number) {
  return {
    beforeW: new Float64Array(count).fill(beforeW),
    differenceW: new Float64Array(count).fill(differenceW),
    halfW: new Float64Array(count).fill(halfW),
  };
}

const rule = (quantity: string) => powerRules.find((entry) => entry.quantity === quantity)!;

describe('rules for what a quantity may do to power', () => {
  // Common practice, no source, as the rules say; the first by the ideal gas: mass ∝ 1/T at one pressure, square root at the least.
  it.each([
    ['charge-temperature', 330, 300, (330 / 300) ** 0.5 - 1, 1.1 ** 1.2 - 1],
    ['intake-temperature', 330, 300, (330 / 300) ** 0.5 - 1, 1.1 ** 1.2 - 1],
    ['spark-advance', 15, 18, 0, 0.036],
    ['knock-retard', 0, 4, -0.048, 0],
    ['lambda', 0.8, 0.85, -0.0175, 0.0175],
    ['throttle', 0.8, 1, 0, 0.1],
    ['throttle', 1, 0.8, -0.1, 0],
    ['ethanol-share', 0, 0.5, 0, 0.04],
    ['ethanol-share', 0.5, 0, -0.04, 0],
    ['short-term-fuel-trim', 0, 0.1, -0.005, 0.005],
    ['coolant-temperature', 360, 370, -0.008, 0.008],
  ])('%s from %s to %s', (quantity, before, after, low, high) => {
    const ends = [...rule(quantity).share(before, after)].sort((a, b) => a - b);
    expect(ends[0]).toBeCloseTo(low, 12);
    expect(ends[1]).toBeCloseTo(high, 12);
  });

  it('name each quantity once, with a unit, a least change and a reason', () => {
    expect(new Set(powerRules.map(({ quantity }) => quantity)).size).toBe(powerRules.length);
    expect(powerRules.map(({ quantity, unit, least }) => [quantity, unit, least])).toEqual([
      ['charge-temperature', 'K', 2],
      ['intake-temperature', 'K', 2],
      ['spark-advance', 'deg', 0.5],
      ['knock-retard', 'deg', 0.3],
      ['lambda', '1', 0.008],
      ['throttle', '1', 0.02],
      ['ethanol-share', '1', 0.03],
      ['short-term-fuel-trim', '1', 0.03],
      ['coolant-temperature', 'K', 6],
    ]);
    for (const { why } of powerRules) expect(why.length).toBeGreaterThan(10);
  });
});

describe('judgeChannel', () => {
  // Found by fuzzing: the ratio of such temperatures has no root, and its NaN stopped the whole result.
  it('passes over temperatures that cannot be, and says nothing where no others are', () => {
    const judge = (before: readonly number[], after: readonly number[]) =>
      judgeChannel(rule('intake-temperature'), curve(before), curve(after), power(2, 100_000, 1000, 500));
    expect(judge([300, 300], [290, -4])).toEqual(judge([300, Number.NaN], [290, Number.NaN]));
    expect(judge([300, 300], [290, 0])!.after).toBe(290);
    expect(judge([300, 300], [-4, -4])).toBeNull();
  });

  it('means over the engine speeds that both have, and says what the change could make of the power', () => {
    const judged = judgeChannel(
      rule('spark-advance'),
      curve([14, Number.NaN, 16, 15]),
      curve([16, 30, Number.NaN, 19]),
      power(4, 100_000, 2500, 1000),
    )!;
    // Two points count: 14 → 16 and 15 → 19; 1.2 % of 100 kW a degree at the most, 3° on average.
    expect(judged.quantity).toBe('spark-advance');
    expect(judged.unit).toBe('deg');
    expect(judged.before).toBeCloseTo(14.5, 12);
    expect(judged.after).toBeCloseTo(17.5, 12);
    expect(judged.couldExplainW).toBeCloseTo(3600, 6);
    expect(judged.couldExplain).toBe('yes');
    expect(judged.reason).toBe(`${rule('spark-advance').why} (common practice, no source)`);
  });

  it('shows the end of the range that reaches further', () => {
    const judge = (before: number, after: number) =>
      judgeChannel(rule('charge-temperature'), curve([before, before]), curve([after, after]), power(2, 100_000, 0, 500))!;
    expect(judge(330, 300).couldExplainW).toBeCloseTo(100_000 * (1.1 ** 1.2 - 1), 6);
    expect(judge(300, 330).couldExplainW).toBeCloseTo(100_000 * ((1 / 1.1) ** 1.2 - 1), 6);
  });

  it('sets the change seen and its band beside it: too small an effect explains nothing', () => {
    const judge = (differenceW: number, halfW: number) =>
      judgeChannel(rule('knock-retard'), curve([0, 0]), curve([1, 1]), power(2, 100_000, differenceW, halfW))!.couldExplain;
    expect(judge(-1200, 500)).toBe('yes');
    expect(judge(-3000, 500)).toBe('partly');
    expect(judge(-9000, 500)).toBe('no');
    expect(judge(1200, 500)).toBe('no');
    expect(judge(0, 500)).toBe('cannot tell');
    expect(judge(0, 1300)).toBe('no clear change');
  });

  it('is silent below the least change, to either side, and without common values', () => {
    const judge = (before: readonly number[], after: readonly number[]) =>
      judgeChannel(rule('spark-advance'), curve(before), curve(after), power(before.length, 1000, 0, 0));
    expect(judge([15, 15], [15.49, 15.49])).toBeNull();
    expect(judge([15, 15], [15.5, 15.5])).not.toBeNull();
    expect(judge([15.5, 15.5], [15, 15])).not.toBeNull();
    expect(judge([Number.NaN, 15], [15, Number.NaN])).toBeNull();
    expect(judge([], [])).toBeNull();
  });
});

describe('where power changed', () => {
  // 20 points from 2,000 rpm: nothing clear below, −11 ± 5 kW from 2,500 to 2,950 rpm.
  const differenceW = Float64Array.from({ length: 20 }, (_, i) => (i < 10 ? 1000 : -11_000));
  const difference = {
    engineSpeedRpm: Float64Array.from({ length: 20 }, (_, i) => 2000 + 50 * i),
    differenceW,
    beforeW: new Float64Array(20).fill(190_000),
    band: { simultaneous: new Float64Array(20).fill(5000) },
  } as unknown as PowerDifference;
  const region = (verdict: VerdictRegion['verdict'], fromRpm: number, toRpm: number) => ({ verdict, fromRpm, toRpm }) as VerdictRegion;
  const claimed = changeSpans(difference, [region('no clear change', 2000, 2450), region('loss', 2600, 2950)]);
  const seen = { beforeW: difference.beforeW, differenceW, halfW: difference.band.simultaneous };
  const half = (low: number, top: number) => curve(Array.from({ length: 20 }, (_, i) => (i < 10 ? low : top)));
  const judge = (rows: readonly [number, number], then: readonly [number, number], name = 'knock-retard') =>
    judgeChannel(rule(name), half(...rows), half(...then), seen, claimed)!;

  it('is each region with a claim; without one where the band leaves out zero; else everything', () => {
    expect(claimed).toEqual([{ from: 12, to: 20, spanRpm: [2600, 2950] }]);
    expect(changeSpans(difference, [region('no clear change', 2000, 2950)])).toEqual([{ from: 10, to: 20, spanRpm: [2500, 2950] }]);
    const quiet = { ...difference, differenceW: new Float64Array(20).fill(Number.NaN) };
    expect(changeSpans(quiet, [])).toEqual([{ from: 0, to: 20, spanRpm: null }]);
  });

  it('judges a channel there, although over the whole range neither it nor power changed clearly', () => {
    const whole = judgeChannel(rule('knock-retard'), half(0, 0), half(0, 2), seen)!;
    expect(whole.couldExplain).toBe('no clear change');
    const judged = judge([0, 0], [0, 2]);
    // 2° at up to 1.2 % each of 190 kW: 4.56 of 11 kW.
    expect(judged).toMatchObject({ couldExplain: 'partly', before: 0, after: 2, spanRpm: [2600, 2950] });
    expect(judged.couldExplainW).toBeCloseTo(-4560, 6);
    expect(judge([0, 0], [0, 5]).couldExplain).toBe('yes');
    expect(judge([0, 4], [0, 2]).couldExplain).toBe('no');
  });

  it('has nothing to explain for a channel that changed elsewhere', () => {
    const judged = judge([0, 0], [3, 0]);
    expect(judged.couldExplain).toBe('no clear change');
    expect(judged.reason).toContain('where it changed, power shows no clear change');
    expect(judge([0, 0], [0.1, 0.1])).toBeNull();
  });

  it('takes the answer that says most', () => {
    const answers = (['no', 'cannot tell', 'partly', 'yes', 'no clear change'] as const).map((one) => ({ couldExplain: one }));
    const left = [...answers];
    const order: string[] = [];
    while (left.length > 0) order.push(left.splice(left.indexOf(strongest(left)!), 1)[0]!.couldExplain);
    expect(order).toEqual(['yes', 'partly', 'cannot tell', 'no', 'no clear change']);
    expect(strongest([])).toBeNull();
  });
});

describe('couldExplain at its edges', () => {
  it.each([
    [1000, 1000, 0, 1001, 'cannot tell'],
    [1000, 1000, 0, 1000, 'no clear change'],
    [1000, 999, 0, 1000, 'yes'],
    [3000, 10, 0, 1000, 'partly'],
    [3000, 10, 0, 999, 'no'],
    [0, 0, -1, 1, 'cannot tell'],
    [-900, 10, -300, 5000, 'partly'],
    [-900, 10, 300, 5000, 'no'],
    // What an effect of 200 leaves of the change, 2,800 ± 2,800, is no longer clear of zero.
    [3000, 2800, 0, 200, 'partly'],
    [3000, 2800, 0, 199, 'no'],
    [3000, 2800, -200, 0, 'no'],
    [Number.NaN, 10, 0, 1000, 'cannot tell'],
    [3000, Number.NaN, 0, 1000, 'cannot tell'],
    [3000, 10, Number.NaN, 1000, 'cannot tell'],
    [3000, 10, 0, Number.NaN, 'cannot tell'],
    [3000, 10, 0, Number.POSITIVE_INFINITY, 'cannot tell'],
  ] as const)('change %s ± %s, effect %s to %s: %s', (changeW, halfW, lowW, highW, expected) => {
    expect(couldExplain(changeW, halfW, lowW, highW)).toBe(expected);
  });
});
