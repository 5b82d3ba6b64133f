import { describe, expect, it } from 'vitest';
import { bandOf } from '../../../packages/core/src/uncertainty/index.js';

function identity(size: number): Float64Array {
  const matrix = new Float64Array(size * size);
  for (let i = 0; i < size; i++) matrix[i * size + i] = 1;
  return matrix;
}

describe('simultaneous band', () => {
  // Source: Šidák 1967; FORMULAS CK-9.6: independent points need 1.959964 (one), 2.568763 (5), 3.015995 (20), 3.473979 (100).
  // A quantile of 20,000 draws is known to about 0.02.
  it.each([
    [1, 1.959964],
    [5, 2.568763],
    [20, 3.015995],
    [100, 3.473979],
  ])('on %s independent points needs the factor %s', (points, expected) => {
    const band = bandOf({ shared: [], covariance: identity(points) }, points, { draws: 20_000 });
    expect(Math.abs(band.factor - expected)).toBeLessThan(0.04);
  });

  it('on points that move together needs no more than one point', () => {
    const shape = new Float64Array(50).fill(3);
    const band = bandOf({ shared: [{ name: 'scale', shape, degrees: Number.POSITIVE_INFINITY }], covariance: null }, 50, { draws: 20_000 });
    expect(Math.abs(band.factor - 1.96)).toBeLessThan(0.03);
    expect(band.standardDeviation[7]).toBe(3);
  });

  it('from an estimated spread follows Student: 2.776 with four degrees of freedom (R qt(.975, 4))', () => {
    const band = bandOf({ shared: [{ name: 'scale', shape: Float64Array.of(1), degrees: 4 }], covariance: null }, 1, { draws: 40_000 });
    expect(band.pointwise[0]).toBeCloseTo(2.776445, 5);
    expect(Math.abs(band.factor - 2.776)).toBeLessThan(0.08);
  });

  it('narrows for a mean over independent points by the root of their number', () => {
    const band = bandOf({ shared: [], covariance: identity(25) }, 25, { draws: 20_000 });
    expect(Math.abs(band.ofMean(0, 25) - 1.96 / 5)).toBeLessThan(0.01);
  });

  it('is exactly nothing without errors', () => {
    const band = bandOf({ shared: [], covariance: null }, 4);
    expect(Array.from(band.simultaneous)).toEqual([0, 0, 0, 0]);
    expect(band.ofMean(0, 4)).toBe(0);
  });
});
