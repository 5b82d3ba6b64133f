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
