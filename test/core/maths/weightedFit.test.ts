import { describe, expect, it } from 'vitest';
import {
  differencePenalty,
  localPolynomial,
  lowerBound,
  randomStream,
  studentTTwoSided,
  upperBound,
} from '../../../packages/core/src/maths/index.js';

/** Gauss elimination with pivoting: another way to the same normal equations. */
function solve(matrix: readonly (readonly number[])[], right: readonly number[]): number[] {
  const rows = matrix.map((row, i) => [...row, right[i]!]);
  const n = rows.length;
  for (let column = 0; column < n; column++) {
    let pivot = column;
    for (let i = column + 1; i < n; i++) if (Math.abs(rows[i]![column]!) > Math.abs(rows[pivot]![column]!)) pivot = i;
    [rows[column], rows[pivot]] = [rows[pivot]!, rows[column]!];
    for (let i = 0; i < n; i++) {
      if (i === column) continue;
      const factor = rows[i]![column]! / rows[column]![column]!;
      for (let j = column; j <= n; j++) rows[i]![j] = rows[i]![j]! - factor * rows[column]![j]!;
    }
  }
  return rows.map((row, i) => row[n]! / row[i]!);
}

interface Reference {
  readonly value: number;
  readonly slope: number;
  readonly slopeVariance: number;
}

/** Weighted least squares in plain time, and the slope's variance by feeding in one unit after the other. */
function reference(
  times: readonly number[],
  values: readonly number[],
  at: number,
  options: { halfWidth: number; order: number; kernel: 'tricube' | 'flat' },
): Reference {
  const { halfWidth, order, kernel } = options;
  const used = times.flatMap((time, i) => {
    const distance = Math.abs(time - at) / halfWidth;
    const weight = distance > 1 ? 0 : kernel === 'flat' ? 1 : (1 - distance ** 3) ** 3;
    return weight > 0 && !Number.isNaN(values[i]!) ? [{ x: time - at, y: values[i]!, weight }] : [];
  });
  const coefficientsOf = (ys: readonly number[]): number[] => {
    const powers = Array.from({ length: order + 1 }, (_, k) => k);
    const moment = (k: number, w: (i: number) => number) => used.reduce((sum, { x, weight }, i) => sum + weight * x ** k * w(i), 0);
    return solve(
      powers.map((i) => powers.map((j) => moment(i + j, () => 1))),
      powers.map((i) => moment(i, (s) => ys[s]!)),
    );
  };
  const [value, slope] = coefficientsOf(used.map(({ y }) => y)) as [number, number];
  const slopeVariance = used.reduce((sum, _, s) => sum + coefficientsOf(used.map((__, i) => (i === s ? 1 : 0)))[1]! ** 2, 0);
  return { value, slope, slopeVariance };
}

describe('localPolynomial against plain weighted least squares', () => {
  it.each([
    ['tricube', 1],
    ['tricube', 2],
    ['tricube', 3],
    ['flat', 1],
    ['flat', 2],
    ['flat', 3],
  ] as const)('%s of order %s, uneven times, missing values', (kernel, order) => {
    const stream = randomStream(40 + order);
    const times = Array.from({ length: 60 }, (_, i) => 0.1 * i + 0.05 * stream.uniform());
    const values = times.map((time, i) => (i % 11 === 4 ? Number.NaN : Math.sin(time) + 0.1 * stream.normal()));
    for (const at of [0.35, 2.5, 3.1, 5.6]) {
      const options = { halfWidth: 0.75, order, kernel };
      const fit = localPolynomial(times, values, at, options)!;
      const expected = reference(times, values, at, options);
      expect(fit.value).toBeCloseTo(expected.value, 9);
      expect(fit.slope).toBeCloseTo(expected.slope, 8);
      expect(fit.slopeVariance / expected.slopeVariance).toBeCloseTo(1, 7);
    }
  });

  it('has order 2 and the tricube kernel unless told otherwise', () => {
    const times = [0, 1, 2, 3, 4, 5, 6];
    const values = [0, 2, 1, 5, 3, 8, 4];
    expect(localPolynomial(times, values, 3, { halfWidth: 4 })).toEqual(
      localPolynomial(times, values, 3, { halfWidth: 4, order: 2, kernel: 'tricube' }),
    );
  });

  it('counts the samples at the window ends in a flat fit, and only those inside it', () => {
    const times = [-3, -2, -1, 0, 1, 2, 3];
    const fit = localPolynomial(times, times, 0, { halfWidth: 2, order: 2, kernel: 'flat' })!;
    expect(fit.count).toBe(5);
  });

  it('needs order + 2 samples', () => {
    const times = [-1, -0.5, 0.5, 1];
    expect(localPolynomial(times, times, 0, { halfWidth: 2, order: 2 })).not.toBeNull();
    expect(localPolynomial(times.slice(1), times, 0, { halfWidth: 2, order: 2 })).toBeNull();
  });

  it.each([1, 2])('needs samples on both sides, order %s; one exactly there counts for either', (order) => {
    const after = [0.1, 0.2, 0.3, 0.4, 0.5, 0.6];
    const before = after.map((time) => -time).reverse();
    const options = { halfWidth: 1, order };
    expect(localPolynomial(after, after, 0, options)).toBeNull();
    expect(localPolynomial(before, before, 0, options)).toBeNull();
    expect(localPolynomial([0, ...after], [0, ...after], 0, options)).not.toBeNull();
    expect(localPolynomial([...before, 0], [...before, 0], 0, options)).not.toBeNull();
  });

  it('needs three samples for a line', () => {
    const times = [-0.5, 0.5, 0.75];
    expect(localPolynomial(times, times, 0, { halfWidth: 2, order: 1 })!.slope).toBeCloseTo(1, 12);
    expect(localPolynomial(times.slice(0, 2), times, 0, { halfWidth: 2, order: 1 })).toBeNull();
    // A sample at the very end of a tricube window has no weight and does not count.
    expect(localPolynomial([-0.5, 0.5, 1], times, 0, { halfWidth: 1, order: 1 })).toBeNull();
    expect(localPolynomial([-0.5, 0.5, 1], times, 0, { halfWidth: 1, order: 1, kernel: 'flat' })!.count).toBe(3);
  });

  it.each([1, 2])('has no fit of order %s where all samples stand at one time', (order) => {
    expect(localPolynomial([1, 1, 1, 1, 1], [1, 2, 3, 4, 5], 1, { halfWidth: 1, order })).toBeNull();
  });
});

describe('places in a rising list', () => {
  it('are those that a search from the front finds', () => {
    const stream = randomStream(2);
    for (let trial = 0; trial < 300; trial++) {
      const rising = Array.from({ length: trial % 17 }, () => Math.floor(6 * stream.uniform())).sort((a, b) => a - b);
      for (let value = -1; value <= 6; value++) {
        const notBelow = rising.findIndex((element) => element >= value);
        const above = rising.findIndex((element) => element > value);
        expect(lowerBound(rising, value)).toBe(notBelow < 0 ? rising.length : notBelow);
        expect(upperBound(rising, value)).toBe(above < 0 ? rising.length : above);
      }
    }
  });
});

describe('penalty on differences', () => {
  // Source: Eilers & Marx, Statist. Sci. 11 (1996) 89, eq. 5: the sum of squared differences, here taken one by one.
  it.each([0, 1, 2, 3])('of order %s is the sum of squared differences', (order) => {
    const stream = randomStream(order);
    const size = 9;
    const coefficients = Array.from({ length: size }, stream.normal);
    let differences = coefficients;
    for (let k = 0; k < order; k++) differences = differences.slice(1).map((value, i) => value - differences[i]!);
    const expected = differences.reduce((sum, value) => sum + value * value, 0);
    const penalty = differencePenalty(size, order);
    let quadratic = 0;
    for (let i = 0; i < size; i++) for (let j = 0; j < size; j++) quadratic += coefficients[i]! * penalty[i * size + j]! * coefficients[j]!;
    expect(quadratic).toBeCloseTo(expected, 9);
  });
});

it('Student t has no quantile for less than no degrees of freedom, or for none that is known', () => {
  for (const degrees of [-1, Number.NaN]) expect(studentTTwoSided(0.95, degrees)).toBeNaN();
});
