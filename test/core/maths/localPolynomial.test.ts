import { describe, expect, it } from 'vitest';
import { localPolynomial } from '../../../packages/core/src/maths/index.js';

/** Weights of a linear estimator, read off by feeding it unit impulses. */
function slopeWeights(times: readonly number[], at: number, order: number): number[] {
  return times.map((_, i) => {
    const impulse = times.map((__, j) => (i === j ? 1 : 0));
    return localPolynomial(times, impulse, at, { halfWidth: 1000, order, kernel: 'flat' })!.slope;
  });
}

describe('slope at the middle of evenly spaced samples', () => {
  // Source: A. Savitzky, M. J. E. Golay, Anal. Chem. 36 (1964) 1627; integer weights recomputed with scipy.signal.savgol_coeffs
  // (FORMULAS CK-4.1, 4.2, 4.4, 4.6; tolerance 1e-12, here 1e-9 for the wide window).
  it.each([
    [2, [-2, -1, 0, 1, 2], 10],
    [2, [-3, -2, -1, 0, 1, 2, 3], 28],
    [2, [-5, -4, -3, -2, -1, 0, 1, 2, 3, 4, 5], 110],
    [3, [22, -67, -58, 0, 58, 67, -22], 252],
  ])('order %s: %s / %s', (order, integers, norm) => {
    const half = (integers.length - 1) / 2;
    const weights = slopeWeights(
      integers.map((_, i) => i - half),
      0,
      order,
    );
    integers.forEach((expected, i) => {
      expect(weights[i]! * norm).toBeCloseTo(expected, 6);
    });
  });

  // FORMULAS CK-4.10: Σc² = 12 / [N(N² − 1)h²]: 0.1, 0.0357143, 0.0166667, 0.0090909 for N = 5, 7, 9, 11.
  it.each([
    [5, 0.1],
    [7, 0.0357143],
    [9, 0.0166667],
    [11, 0.0090909],
  ])('noise gain of %s samples is %s', (count, gain) => {
    const times = Array.from({ length: count }, (_, i) => i - (count - 1) / 2);
    const fit = localPolynomial(times, times, 0, { halfWidth: 1000, order: 2, kernel: 'flat' })!;
    expect(fit.slopeVariance).toBeCloseTo(gain, 7);
  });
});

describe('slope on uneven samples', () => {
  // Source: local polynomial, Fan & Gijbels 1996; FORMULAS CK-4.13 (tolerance 1e-7).
  const times = [-0.21, -0.09, 0, 0.12, 0.19];
  it('is exact on a parabola', () => {
    const fit = localPolynomial(
      times,
      times.map((t) => 1 + 2 * t + 3 * t * t),
      0,
      { halfWidth: 1000, kernel: 'flat' },
    )!;
    expect(fit.slope).toBeCloseTo(2, 7);
    expect(fit.slopeVariance).toBeCloseTo(9.91598, 4);
  });
  it('has the published weights', () => {
    const expected = [-1.83598476, -1.05282985, -0.25191298, 1.10071043, 2.04001716];
    slopeWeights(times, 0, 2).forEach((weight, i) => {
      expect(weight).toBeCloseTo(expected[i]!, 6);
    });
  });
  it('shows the bias of a straight line: 1.95301', () => {
    const fit = localPolynomial(
      times,
      times.map((t) => 1 + 2 * t + 3 * t * t),
      0,
      { halfWidth: 1000, order: 1, kernel: 'flat' },
    )!;
    expect(fit.slope).toBeCloseTo(1.95301, 5);
  });
});

describe('support', () => {
  it('is missing at an end, with too few samples, and over missing values', () => {
    const times = [0, 1, 2, 3, 4, 5];
    expect(localPolynomial(times, times, -0.5, { halfWidth: 3 })).toBeNull();
    expect(localPolynomial(times, times, 2, { halfWidth: 1.5 })).toBeNull();
    expect(localPolynomial(times, [0, Number.NaN, Number.NaN, Number.NaN, 4, 5], 2, { halfWidth: 10 })).toBeNull();
  });
});
