import { detectableEffect, tTestPower } from '@pullproof/core';
import { describe, expect, it } from 'vitest';
import { randomStream } from '../../../packages/core/src/maths/index.js';
import { bandOf, detectableShare, type PlannedErrors } from '../../../packages/core/src/uncertainty/index.js';

// Source: R 4.2.2, power.t.test (upper tail only, its default), run once:
//   power.t.test(n = 20, delta = 1, sd = 1)$power; power.t.test(n = 100, delta = 1, sd = 2.5)$power; power.t.test(power = 0.9, delta = 1)$n
describe('power of a t test', () => {
  it.each([
    { repeats: 20, effect: 1, power: 0.8689528 },
    { repeats: 100, effect: 1 / 2.5, power: 0.8036466 },
    { repeats: 22.0211, effect: 1, power: 0.9 },
  ])('$repeats in each group, $effect standard deviations', ({ repeats, effect, power }) => {
    expect(Math.abs(tTestPower(effect, { repeats }) - power)).toBeLessThan(1e-5);
  });

  // Source: the same R: for (n in c(3, 4, 5, 6, 8, 10)) power.t.test(n = n, power = 0.8, sd = 1, tol = 1e-12)$delta; the second with type = "paired"
  it.each([
    [3, 3.0708928, 3.2640435],
    [4, 2.3807556, 2.1279494],
    [5, 2.024441, 1.6819973],
    [6, 1.7955426, 1.4345453],
    [8, 1.5066359, 1.1560355],
    [10, 1.3249489, 0.9960023],
  ])('smallest change of %i repeats', (repeats, groups, pairs) => {
    expect(Math.abs(detectableEffect({ repeats }) - groups)).toBeLessThan(1e-5);
    expect(Math.abs(detectableEffect({ repeats, paired: true }) - pairs)).toBeLessThan(1e-5);
  });

  it('cannot be told from one repeat', () => {
    expect(tTestPower(1, { repeats: 1 })).toBeNaN();
    expect(detectableEffect({ repeats: 1 })).toBeNaN();
  });
});

const scalar = (deviation: number, repeats: number, worth: number, covariance: number): PlannedErrors => ({
  points: 1,
  shared: [],
  covariance: covariance === 0 ? null : Float64Array.of(covariance),
  estimated: {
    deviation,
    knownBy: Number.POSITIVE_INFINITY,
    factor: Math.sqrt(2 / repeats),
    degrees: 2 * repeats - 2,
    assumed: { deviation: 0.01, worth },
  },
});

describe('smallest change that a band would show', () => {
  it('is that of the t test where one spread is estimated and nothing is assumed', () => {
    for (const repeats of [3, 5, 8]) {
      const share = detectableShare(scalar(0.01, repeats, 1e-9, 0), { draws: 40_000 });
      expect(Math.abs(share / (0.01 * detectableEffect({ repeats })) - 1), `${repeats}`).toBeLessThan(0.04);
    }
  });

  it('falls with more repeats and grows with every error', () => {
    const least = (repeats: number, covariance: number) => detectableShare(scalar(0.01, repeats, 1, covariance));
    expect(least(6, 0)).toBeLessThan(least(3, 0));
    expect(least(3, 2e-5)).toBeGreaterThan(least(3, 0));
  });

  it('grows where the spread itself is known by few repeats', () => {
    const planned = scalar(0.01, 5, 1, 4e-6);
    const least = (knownBy: number) => detectableShare({ ...planned, estimated: { ...planned.estimated, knownBy } });
    expect(least(4)).toBeGreaterThan(1.04 * least(Number.POSITIVE_INFINITY));
    expect(least(1000) / least(Number.POSITIVE_INFINITY)).toBeCloseTo(1, 1);
  });

  it('is shown in 75 to 85 of 100 simulated trials by the band that the product makes', () => {
    const stream = randomStream(41);
    for (const [deviation, repeats, noise] of [
      [0.01, 3, 4e-6],
      [0.01, 6, 2e-5],
      [0.004, 4, 1e-5],
      [0.02, 8, 0],
    ] as const) {
      const planned = scalar(deviation, repeats, 1, noise);
      const change = detectableShare(planned);
      let shown = 0;
      const trials = 1500;
      for (let trial = 0; trial < trials; trial++) {
        const groups = [0, change].map((level) => Array.from({ length: repeats }, () => level + deviation * stream.normal()));
        const means = groups.map((group) => group.reduce((sum, value) => sum + value, 0) / repeats);
        const squares = groups.reduce((sum, group, g) => sum + group.reduce((own, value) => own + (value - means[g]!) ** 2, 0), 0);
        const degrees = 2 * repeats - 1;
        const estimate = Math.sqrt((squares + 0.01 ** 2) / degrees);
        const pulls = { name: 'pulls', shape: Float64Array.of(estimate * Math.sqrt(2 / repeats)), degrees };
        const band = bandOf({ shared: [pulls], covariance: planned.covariance }, 1, { draws: 1000, seed: trial + 1 });
        if (means[1]! - means[0]! + Math.sqrt(noise) * stream.normal() > band.simultaneous[0]!) shown++;
      }
      expect(shown / trials, `${deviation} ${repeats}`).toBeGreaterThan(0.75);
      expect(shown / trials, `${deviation} ${repeats}`).toBeLessThan(0.85);
    }
  }, 60_000);
});
