import { describe, expect, it } from 'vitest';
import {
  combined,
  type Explanation,
  explanationEffects,
  mayHide,
  overallVerdict,
  type PowerDifference,
  smallestClaimW,
  verdictRegions,
} from '../../../packages/core/src/compare/index.js';

// Source: made by hand, what should come out is plain from the numbers.
const points = 12;
const flat = (value: number): Float64Array => new Float64Array(points).fill(value);

function difference(valueW: number | Float64Array, halfW = 1000): PowerDifference {
  const differenceW = typeof valueW === 'number' ? flat(valueW) : valueW;
  const half = new Float64Array(differenceW.length).fill(halfW);
  return {
    engineSpeedRpm: differenceW.map((_, i) => 3000 + 50 * i),
    beforeW: differenceW.map(() => 100_000),
    afterW: differenceW.map((value) => 100_000 + value),
    differenceW,
    band: { standardDeviation: half, pointwise: half, simultaneous: half, factor: 2, ofMean: () => halfW },
    contrast: { before: Float64Array.of(-1), after: Float64Array.of(1), pullFactor: 2, outingFactor: 0 },
    parts: [],
    varianceW2: [],
    identical: false,
  };
}

const may = (lowW: number, highW: number, name = 'wind not entered'): Explanation => ({
  name,
  standing: 'assumed',
  sentence: 'the wind was not entered',
  settle: 'Enter wind.',
  lowW: flat(lowW),
  highW: flat(highW),
});
const known = {
  missingPulls: false,
  repeatabilityKnown: true,
  outingAssumed: false,
  speedInDoubt: false,
  weatherUnknown: false,
  contradicted: false,
};
const judged = (d: PowerDifference, ...explanations: Explanation[]) =>
  overallVerdict(d, verdictRegions(d, combined(explanations, points)), explanations, known);

describe('explanations together', () => {
  it('add in quadrature where they are only possible, and plainly where they are sure', () => {
    const possible = combined([may(-3000, 3000), may(-4000, 4000)], points);
    expect([possible.lowW[0], possible.highW[0]]).toEqual([-5000, 5000]);
    // 2 kW are sure; 3 kW of the first and 4 kW of the second are open: 2 + 5.
    const sure = combined([may(2000, 5000), may(-4000, 4000)], points);
    expect(sure.highW[0]).toBe(7000);
    expect(sure.lowW[0]).toBe(-4000);
  });
  it('have no bound where one has none, and NaN frees no claim', () => {
    expect(combined([may(-1, 1), may(Number.NEGATIVE_INFINITY, Number.POSITIVE_INFINITY)], points).highW[0]).toBe(Number.POSITIVE_INFINITY);
    expect(judged(difference(9000), may(Number.NaN, Number.NaN)).verdict).toBe('cannot tell');
  });
  it('are nothing where there are none', () => {
    expect([...combined([], 2).highW]).toEqual([0, 0]);
  });
});

describe('a claim', () => {
  it.each([
    ['stands beside a doubt that could not make it', [may(-2000, 2000)], 'gain', ['note']],
    ['falls to one that could', [may(-4500, 4500)], 'cannot tell', ['takes away']],
    [
      'falls to two that only together could',
      [may(-3300, 3300), may(-3300, 3300)],
      'cannot tell',
      ['takes away with others', 'takes away with others'],
    ],
    ['is not taken by what works the other way', [may(-9000, 0)], 'gain', ['note']],
  ] as const)('%s', (_, explanations, verdict, effects) => {
    const d = difference(5000);
    expect(judged(d, ...explanations).verdict).toBe(verdict);
    expect(explanationEffects(d, explanations)).toEqual(effects);
  });
  it('of a corner falls with the rest where an explanation covers most of it', () => {
    const d = difference(Float64Array.from({ length: points }, (_, i) => (i < 8 ? 4000 : 9000)));
    expect(judged(d, may(-3500, 3500))).toEqual({ verdict: 'cannot tell', reasons: ['OTHER_CHANGE_COULD_EXPLAIN'] });
  });
  it('has bounds that count what else may be in it', () => {
    const d = difference(9000);
    const besides = combined([may(-2000, 1500)], points);
    const [region] = verdictRegions(d, besides, besides);
    expect(region!.lowW).toBeCloseTo(9000 - Math.hypot(1000, 1500), 9);
    expect(region!.highW).toBeCloseTo(9000 + Math.hypot(1000, 2000), 9);
  });
});

describe('what may hide', () => {
  it('a gain behind what surely costs power is said in place of a bare answer', () => {
    const d = difference(0);
    const hotter = may(-6000, -3000, 'air');
    expect(mayHide(d, hotter)).toBe('gain');
    expect(judged(d, hotter)).toEqual({ verdict: 'no clear change', reasons: ['MAY_HIDE_A_CHANGE'] });
  });
  it('is not said of what is smaller than the band', () => {
    expect(mayHide(difference(0, 7000), may(-6000, 6000))).toBeNull();
  });
  it('counts in the smallest change that could be claimed', () => {
    const d = difference(0);
    expect(smallestClaimW(d, combined([], points))).toBe(1000);
    expect(smallestClaimW(d, combined([may(-25_000, 4000)], points))).toBe(26_000);
    expect(smallestClaimW(d, combined([may(Number.NEGATIVE_INFINITY, 0)], points))).toBeNull();
  });
});

describe('where a region ends: half of its own level', () => {
  const twoLevels = (high: number, low: number) =>
    difference(
      Float64Array.from({ length: points }, (_, i) => (i < 6 ? high : low)),
      500,
    );
  it.each([
    ['a part at 45 % of the rest lies outside, though it is clear', 10_000, 4500, 3250],
    ['a part at 55 % belongs to it', 10_000, 5500, 3550],
  ])('%s', (_, high, low, toRpm) => {
    const d = twoLevels(high, low);
    const [region] = verdictRegions(d, combined([], points));
    expect(region).toMatchObject({ verdict: 'gain', fromRpm: 3000, toRpm, clearToRpm: 3550 });
  });
});
