import { describe, expect, it } from 'vitest';
import { cubicThrough } from '../../../packages/core/src/maths/index.js';

describe('a cubic through readings at uneven times', () => {
  const times = [0, 0.7, 1.9, 2.4, 3.6];

  it('is exact on a parabola, at the ends as between', () => {
    const values = times.map((t) => 3 - 2 * t + 0.5 * t * t);
    for (const t of [0, 0.2, 1, 1.9, 2.2, 3.1, 3.6]) expect(cubicThrough(times, values, t)).toBeCloseTo(3 - 2 * t + 0.5 * t * t, 12);
  });

  it('gains with the third power of the distance', () => {
    const error = (step: number): number => {
      const grid = Array.from({ length: 9 }, (_, i) => i * step);
      return Math.abs(cubicThrough(grid, grid.map(Math.sin), 4.5 * step) - Math.sin(4.5 * step));
    };
    expect(error(0.1) / error(0.2)).toBeLessThan(1 / 7);
  });

  it('is no number outside the readings it may use, or with fewer than three', () => {
    const values = times.map((t) => t);
    expect(cubicThrough(times, values, 3.7)).toBeNaN();
    expect(cubicThrough(times, values, 0.5, { from: 1 })).toBeNaN();
    expect(cubicThrough(times, values, 1, { from: 1, to: 3 })).toBeNaN();
  });
});
