import { describe, expect, it } from 'vitest';
import {
  bSplineAt,
  bSplineBasis,
  bSplineValues,
  cholesky,
  choleskyInverse,
  choleskyLogDeterminant,
  choleskySolve,
  differencePenalty,
} from '../../../packages/core/src/maths/index.js';

function whittaker(y: readonly number[], lambda: number): { z: Float64Array; trace: number } {
  const size = y.length;
  const matrix = differencePenalty(size, 2).map((value) => lambda * value);
  for (let i = 0; i < size; i++) matrix[i * size + i] = matrix[i * size + i]! + 1;
  const l = cholesky(matrix, size)!;
  const inverse = choleskyInverse(l, size);
  let trace = 0;
  for (let i = 0; i < size; i++) trace += inverse[i * size + i]!;
  return { z: choleskySolve(l, size, Float64Array.from(y)), trace };
}

describe('difference penalty', () => {
  // Source: P. H. C. Eilers, "A Perfect Smoother", Anal. Chem. 75 (2003) 3631; FORMULAS CK-4.14 to 4.16 (tolerance 1e-9, 1e-8).
  it('smooths a zigzag as published', () => {
    const { z, trace } = whittaker([0, 1, 0, 1, 0], 1);
    [0.25, 0.5, 0.5, 0.5, 0.25].forEach((expected, i) => {
      expect(z[i]).toBeCloseTo(expected, 9);
    });
    expect(trace).toBeCloseTo(2.7916667, 6);
  });
  it('leaves a straight line alone at any strength', () => {
    const { z } = whittaker([1, 3, 5, 7, 9, 11], 1e6);
    z.forEach((value, i) => {
      expect(value).toBeCloseTo(1 + 2 * i, 6);
    });
  });
  it('spreads an impulse symmetrically and keeps its sum', () => {
    const { z } = whittaker([0, 0, 0, 1, 0, 0, 0], 10);
    [0.06606578, 0.13165967, 0.19064697, 0.22325516].forEach((expected, i) => {
      expect(z[i]).toBeCloseTo(expected, 8);
      expect(z[6 - i]).toBeCloseTo(expected, 8);
    });
    expect(z.reduce((sum, value) => sum + value, 0)).toBeCloseTo(1, 12);
  });
});

describe('cubic B-spline', () => {
  const basis = bSplineBasis(2000, 6000, 400);
  it('sums to one, inside and outside its range', () => {
    const values = new Float64Array(4);
    for (const x of [1500, 2000, 2345, 4000, 5999, 6000, 6700]) {
      bSplineValues(basis, x, values);
      expect(values[0]! + values[1]! + values[2]! + values[3]!).toBeCloseTo(1, 12);
    }
  });
  // de Boor 1978: a cubic spline whose coefficients are the knot averages reproduces the identity.
  it('reproduces a straight line everywhere', () => {
    const coefficients = Array.from({ length: basis.size }, (_, j) => basis.from + (j - 1) * basis.step);
    for (const x of [1400, 2000, 3333, 6000, 7000]) expect(bSplineAt(basis, coefficients, x)).toBeCloseTo(x, 8);
  });
  it('goes on beyond its ends with value and slope unbroken', () => {
    const coefficients = Array.from({ length: basis.size }, (_, j) => Math.sin(j));
    const inside = (bSplineAt(basis, coefficients, 6000) - bSplineAt(basis, coefficients, 5999.999)) / 0.001;
    const outside = (bSplineAt(basis, coefficients, 6000.001) - bSplineAt(basis, coefficients, 6000)) / 0.001;
    expect(outside).toBeCloseTo(inside, 6);
    const early = (bSplineAt(basis, coefficients, 2000.001) - bSplineAt(basis, coefficients, 2000)) / 0.001;
    expect((bSplineAt(basis, coefficients, 2000) - bSplineAt(basis, coefficients, 1999.999)) / 0.001).toBeCloseTo(early, 6);
  });
});

describe('Cholesky', () => {
  // The Hilbert matrix of order 3: determinant 1/2160, inverse of integers (Choi, Amer. Math. Monthly 90 (1983) 301).
  const hilbert = Float64Array.of(1, 1 / 2, 1 / 3, 1 / 2, 1 / 3, 1 / 4, 1 / 3, 1 / 4, 1 / 5);
  it('inverts the Hilbert matrix', () => {
    const l = cholesky(hilbert, 3)!;
    [9, -36, 30, -36, 192, -180, 30, -180, 180].forEach((expected, i) => {
      expect(choleskyInverse(l, 3)[i]).toBeCloseTo(expected, 9);
    });
    expect(choleskyLogDeterminant(l, 3)).toBeCloseTo(Math.log(1 / 2160), 10);
  });
  it('refuses a matrix that is not positive definite', () => {
    expect(cholesky(Float64Array.of(1, 2, 2, 1), 2)).toBeNull();
    expect(cholesky(Float64Array.of(Number.NaN), 1)).toBeNull();
  });
});
