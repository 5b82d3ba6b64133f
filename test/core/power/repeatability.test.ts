import { describe, expect, it } from 'vitest';
import { randomStream } from '../../../packages/core/src/maths/index.js';
import { contrastOf, type PullLevel, repeatability } from '../../../packages/core/src/power/index.js';

describe('spread of repeated pulls', () => {
  it('starts at what is assumed and says so', () => {
    const spread = repeatability([{ setup: 0, outingKey: 'a', level: 0 }]);
    expect(spread.pullToPull).toBe(0.01);
    expect(spread.pullMeasured).toBe(false);
    expect(spread.outingMeasured).toBe(false);
    expect(spread.outingToOuting * Math.SQRT2).toBeCloseTo(0.01, 12);
  });

  it('adds the noise of the levels to what is assumed, and leaves it out where repeats hold it already', () => {
    const one = repeatability([{ setup: 0, outingKey: 'a', level: 0, noiseVariance: 0.005 ** 2 }]);
    expect(one.pullToPull).toBeCloseTo(Math.hypot(0.01, 0.005), 12);
    const levels = [0.01, -0.01, 0.01, -0.01];
    const many = repeatability(levels.map((level) => ({ setup: 0, outingKey: 'a', level, noiseVariance: 0.005 ** 2 })));
    // 4 squares of 1 % on 3 degrees, and 1.25 squares of 1 % on the twentieth of a degree that the assumption counts.
    expect(many.pullToPull).toBeCloseTo(0.01 * Math.sqrt((4 + 0.05 * 1.25) / 3.05), 12);
  });

  // By calculation where nothing but this spread counts; the table of docs/adr/0005. Student's t with the degrees that the estimate gives.
  it.each([
    [0.003, 0.974],
    [0.01, 0.952],
    [0.03, 0.949],
  ])('of three pulls a setup gives bands that hold, at a true spread of %s, in %s', (truth, expected) => {
    const stream = randomStream(5);
    const draws = 20_000;
    let held = 0;
    for (let k = 0; k < draws; k++) {
      const pulls = ['a', 'a', 'a', 'b', 'b', 'b'].map((setup): PullLevel => {
        return { setup: setup === 'a' ? 0 : 1, outingKey: 'day', level: truth * stream.normal() };
      });
      const mean = (setup: number): number => pulls.filter((pull) => pull.setup === setup).reduce((sum, { level }) => sum + level, 0) / 3;
      const { pullToPull, pullDegrees } = repeatability(pulls);
      // Quantile of Student's t by its own approximation would be circular: 4.05 degrees, R qt(0.975, 4.05) = 2.7648.
      expect(pullDegrees).toBeCloseTo(4.05, 12);
      if (Math.abs(mean(1) - mean(0)) <= 2.7648 * pullToPull * Math.sqrt(2 / 3)) held++;
    }
    expect(Math.abs(held / draws - expected)).toBeLessThan(0.006);
  });

  // By hand. Setup 0: outing a 2 % and 0, outing b -1 % and -3 %; means 1 % and -2 %, four squares of 1 % on two degrees.
  it('of two outings, worked out by hand: what pulls spread is taken out of what outings spread', () => {
    const levels = [
      [0, 'a', 0.02],
      [0, 'a', 0],
      [0, 'b', -0.01],
      [0, 'b', -0.03],
      [1, 'a', 0.05],
    ] as const;
    const spread = repeatability(levels.map(([setup, outingKey, level]) => ({ setup, outingKey, level })));
    const pullVariance = (0.0004 + 0.05 * 0.0001) / 2.05;
    expect(spread.pullToPull).toBeCloseTo(Math.sqrt(pullVariance), 12);
    expect(spread.pullMeasured).toBe(true);
    // Two means 1.5 % from their middle; each holds half the variance of a pull, half of which the middle takes out. One degree and eight assumed.
    expect(spread.outingToOuting).toBeCloseTo(Math.sqrt((2 * 0.015 ** 2 - pullVariance / 2 + 8 * 0.00005) / 9), 12);
    expect(spread.outingDegrees).toBe(9);
    expect(spread.outingMeasured).toBe(true);
  });

  // By hand: 5 % and 3 % one way, -5 % the other; the mean of each way taken out leaves two squares of 1 % on one degree.
  it('takes what opposite directions differ by for wind and slope, not for spread', () => {
    const ways = [
      [1, 0.05],
      [1, 0.03],
      [-1, -0.05],
    ] as const;
    const spread = repeatability(ways.map(([heading, level]) => ({ setup: 0, outingKey: 'a', level, heading })));
    expect(spread.pullDegrees).toBeCloseTo(1.05, 12);
    expect(spread.pullToPull).toBeCloseTo(Math.sqrt((0.0002 + 0.05 * 0.0001) / 1.05), 12);
    const unknown = repeatability(ways.map(([, level]) => ({ setup: 0, outingKey: 'a', level })));
    expect(unknown.pullDegrees).toBeCloseTo(2.05, 12);
  });

  it('comes near the truth with many repeats', () => {
    const stream = randomStream(3);
    const pulls: PullLevel[] = [];
    for (let outing = 0; outing < 40; outing++) {
      const luck = 0.02 * stream.normal();
      for (let k = 0; k < 10; k++) pulls.push({ setup: 0, outingKey: `day ${outing}`, level: luck + 0.005 * stream.normal() });
    }
    const spread = repeatability(pulls);
    // 360 degrees of freedom: 4 standard errors are 15 %.
    expect(Math.abs(spread.pullToPull / 0.005 - 1)).toBeLessThan(0.15);
    expect(Math.abs(spread.outingToOuting / 0.02 - 1)).toBeLessThan(0.4);
    expect(spread.outingMeasured).toBe(true);
  });
});

describe('contrast of two setups', () => {
  const spread = { pullToPull: 0.01, outingToOuting: 0.007 };
  const sum = (weights: Float64Array): number => weights.reduce((total, w) => total + w, 0);

  it('is the difference of plain means within one outing, free of its luck', () => {
    const contrast = contrastOf(['a', 'a', 'a'], ['a', 'a'], spread);
    expect(sum(contrast.before)).toBeCloseTo(-1, 12);
    expect(sum(contrast.after)).toBeCloseTo(1, 12);
    expect(contrast.pullFactor).toBeCloseTo(1 / 3 + 1 / 2, 12);
    expect(contrast.outingFactor).toBeCloseTo(0, 12);
  });

  it('carries the luck of both outings when the setups were logged apart', () => {
    const contrast = contrastOf(['a', 'a', 'a'], ['b', 'b', 'b'], spread);
    expect(contrast.outingFactor).toBeCloseTo(2, 12);
  });

  it('leans on the outing that both share, and is no worse than plain means or that outing alone', () => {
    const contrast = contrastOf(['a', 'a', 'a', 'b', 'b', 'b'], ['b', 'b', 'b'], spread);
    const variance = (c: { pullFactor: number; outingFactor: number }): number =>
      c.pullFactor * spread.pullToPull ** 2 + c.outingFactor * spread.outingToOuting ** 2;
    expect(variance(contrast)).toBeLessThanOrEqual(variance({ pullFactor: 1 / 6 + 1 / 3, outingFactor: 0.5 }) + 1e-12);
    expect(variance(contrast)).toBeLessThanOrEqual(variance({ pullFactor: 2 / 3, outingFactor: 0 }) + 1e-12);
    expect(Math.abs(contrast.before[5]!)).toBeGreaterThan(Math.abs(contrast.before[0]!));
  });
});
