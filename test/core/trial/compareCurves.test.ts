import { randomStream } from '@pullproof/core';
import { describe, expect, test } from 'vitest';
import { compareCurves } from '../../../packages/core/src/answers/pressure/compareCurves.js';
import type { PullsCurve } from '../../../packages/core/src/pulls/channelCurve.js';

const rpm = Float64Array.from({ length: 70 }, (_, i) => 3000 + 50 * i);

/** A curve over simulated pulls: each has a level of its own and a smooth shape of its own. */
function curveOf(pulls: readonly Float64Array[]): PullsCurve {
  const mean = rpm.map((_, i) => pulls.reduce((sum, pull) => sum + pull[i]!, 0) / pulls.length);
  return {
    curve: {
      engineSpeedRpm: rpm,
      mean,
      pullToPull: new Float64Array(rpm.length),
      pulls,
      count: new Uint16Array(rpm.length).fill(pulls.length),
    },
    bounds: Array.from(rpm, () => null),
  };
}

function simulate(stream: ReturnType<typeof randomStream>, count: number, truePa: number): PullsCurve {
  return curveOf(
    Array.from({ length: count }, () => {
      const level = 800 * stream.normal();
      // Shape: independent values every 500 rpm, straight between them.
      const knots = Array.from({ length: 9 }, () => 400 * stream.normal());
      return rpm.map((value) => {
        const at = (value - 3000) / 500;
        const share = at - Math.floor(at);
        return truePa + level + knots[Math.floor(at)]! * (1 - share) + knots[Math.floor(at) + 1]! * share;
      });
    }),
  );
}

describe('difference of a pressure between setups', () => {
  test.each([
    [3, 3],
    [6, 4],
  ])('the band holds the whole true curve in about 95 of 100 trials, %i and %i pulls', (before, after) => {
    const stream = randomStream(20261125);
    const trials = 200;
    let inside = 0;
    for (let trial = 0; trial < trials; trial++) {
      const { low, high } = compareCurves(simulate(stream, before, 160000), simulate(stream, after, 171000));
      if (low.every((value, i) => value! <= 11000 && high[i]! >= 11000)) inside += 1;
    }
    // Source: simulation of our own, regression, not truth of real pulls; 95 % nominal, three standard errors of 200 trials are 4.6 %; with 400 trials it was 95.3 % and 93.3 %.
    expect(inside / trials).toBeGreaterThan(0.904);
  });

  test('one pull each: a difference, no band, and it says so', () => {
    const stream = randomStream(1);
    const { difference, low, status } = compareCurves(simulate(stream, 1, 160000), simulate(stream, 1, 171000));
    expect(difference.every((value) => value !== null)).toBe(true);
    expect(low.every((value) => value === null)).toBe(true);
    expect(status).toContain('second pull');
  });

  test('not logged, or nothing in common: no difference, with the reason', () => {
    const stream = randomStream(1);
    expect(compareCurves(null, simulate(stream, 2, 1)).status).toContain('Not logged');
    const one = simulate(stream, 2, 160000);
    const clamped: PullsCurve = { ...one, bounds: one.bounds.map(() => 'at-least' as const) };
    expect(compareCurves(one, clamped).status).toContain('ceiling');
    expect(compareCurves(one, clamped).difference.every((value) => value === null)).toBe(true);
  });
});
