import { describe, expect, it } from 'vitest';
import { chiSquaredDraw, randomStream } from '../../../packages/core/src/maths/index.js';
import { bandOf, halfAtPoint } from '../../../packages/core/src/uncertainty/index.js';

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

  // Oracle: the half-width of one point, s times Student's t of Welch's degrees of freedom (Source: JCGM 100:2008, G.4).
  it.each([
    [1, 0.2],
    [1, 1],
    [0.3, 1],
  ])('on one point is that of the point: estimated %s, known %s', (estimated, known) => {
    const shared = [{ name: 'pulls', shape: Float64Array.of(estimated), degrees: 4 }];
    const band = bandOf({ shared, covariance: Float64Array.of(known ** 2) }, 1, { draws: 40_000 });
    expect(Math.abs(band.simultaneous[0]! / band.pointwise[0]! - 1)).toBeLessThan(0.03);
    expect(band.ofMean(0, 1)).toBeCloseTo(band.pointwise[0]!, 12);
  });

  it('takes errors of one name for one estimate, those of two names for two', () => {
    const of = (...names: string[]) =>
      bandOf({ shared: names.map((name) => ({ name, shape: Float64Array.of(1), degrees: 4 })), covariance: null }, 1, { draws: 0 });
    // Source: Student's t of 4 and of 8 degrees (R qt(.975, 4) and qt(.975, 8)), times √2.
    expect(of('shape', 'shape').pointwise[0]).toBeCloseTo(Math.SQRT2 * 2.776445, 5);
    expect(of('shape', 'level').pointwise[0]).toBeCloseTo(Math.SQRT2 * 2.306004, 5);
    expect(of('shape', 'level').ofMean(0, 1)).toBeCloseTo(Math.SQRT2 * 2.306004, 5);
  });

  it('is never narrower for the whole curve than for one of its points, however few draws it rests on', () => {
    for (let seed = 1; seed <= 40; seed++) {
      const points = 1 + (seed % 4);
      const shape = Float64Array.from({ length: points }, (_, i) => 1 + 0.1 * i);
      const band = bandOf(
        { shared: [{ name: 'all', shape, degrees: seed % 3 === 0 ? 4 : Number.POSITIVE_INFINITY }], covariance: null },
        points,
        {
          draws: 200,
          seed,
        },
      );
      for (let i = 0; i < points; i++) expect(band.simultaneous[i]).toBeGreaterThanOrEqual(band.pointwise[i]!);
      expect(band.factor).toBeGreaterThanOrEqual(seed % 3 === 0 ? 2.776 : 1.9599);
    }
  });

  it.each([1, 2, 4, 30])('at one point is the half-width that halfAtPoint gives, of %d degrees of freedom', (degrees) => {
    const shape = Float64Array.of(0.37);
    const { pointwise } = bandOf({ shared: [{ name: 'pulls', shape, degrees }], covariance: null }, 1, { draws: 0 });
    expect(halfAtPoint(0.37, degrees)).toBe(pointwise[0]);
    expect(halfAtPoint(0, degrees)).toBe(0);
    expect(halfAtPoint(Number.NaN, degrees)).toBeNaN();
  });

  it('has at each point the factor of its own degrees of freedom', () => {
    const shape = Float64Array.from({ length: 9 }, (_, i) => i / 8);
    const covariance = identity(9);
    const band = bandOf({ shared: [{ name: 'pulls', shape, degrees: 3 }], covariance }, 9, { draws: 20_000 });
    const factors = Array.from(band.simultaneous, (half, i) => half / band.standardDeviation[i]!);
    for (let i = 1; i < 9; i++) expect(factors[i]).toBeGreaterThan(factors[i - 1]!);
    // Where nothing is estimated the largest of nine nearly independent points decides (Šidák: 2.766).
    expect(Math.abs(factors[0]! - 2.766)).toBeLessThan(0.08);
    expect(band.factor).toBeCloseTo(factors[8]!, 12);
  });

  // Source: coverage by counting, over the spreads that four degrees of freedom show of a true one; the truth is drawn, the band is not told it.
  it('holds a whole curve as often as it says where an estimated spread and known noise are alike', () => {
    const points = 6;
    const stream = randomStream(11);
    const seen = Float64Array.from({ length: 3000 }, () => Math.sqrt(chiSquaredDraw(stream, 4) / 4)).sort();
    const noise = identity(points).map((value) => 0.5 * value);
    const errors = Array.from({ length: 4000 }, () => {
      const common = stream.normal();
      return Array.from({ length: points }, () => common + Math.sqrt(0.5) * stream.normal());
    });
    let held = 0;
    for (let k = 0; k < 60; k++) {
      const shape = new Float64Array(points).fill(seen[50 * k + 25]!);
      const { simultaneous } = bandOf({ shared: [{ name: 'pulls', shape, degrees: 4 }], covariance: noise }, points, {
        draws: 2000,
        seed: k,
      });
      held += errors.filter((own) => own.every((error, i) => Math.abs(error) <= simultaneous[i]!)).length / errors.length / 60;
    }
    expect(held).toBeGreaterThan(0.94);
    expect(held).toBeLessThan(0.965);
  });

  it('is exactly nothing without errors', () => {
    const band = bandOf({ shared: [], covariance: null }, 4);
    expect(Array.from(band.simultaneous)).toEqual([0, 0, 0, 0]);
    expect(band.ofMean(0, 4)).toBe(0);
  });
});
