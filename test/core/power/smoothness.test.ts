import { describe, expect, it } from 'vitest';
import { cholesky, choleskyLogDeterminant, forwardSubstitute, randomStream } from '../../../packages/core/src/maths/index.js';
import { chooseSmoothness, type SmoothedSystem } from '../../../packages/core/src/power/smoothness.js';

const commonSize = 4;
const ownSize = 3;
/** Of each pull: level, own shape, one delay, one start. */
const size = 1 + ownSize + 2;
const identity = Float64Array.from({ length: commonSize ** 2 }, (_, k) => (k % (commonSize + 1) === 0 ? 1 : 0));
const layout = {
  size: commonSize + 2 * size,
  common: 0,
  pulls: [0, 1].map((p) => {
    const scale = commonSize + p * size;
    return { scale, own: scale + 1, delays: scale + 1 + ownSize, starts: scale + 2 + ownSize, size };
  }),
};

/** Readings y = X θ + error of deviation 1, of θ drawn with these deviations; the normal equations, and the rows themselves. */
function drawn(seed: number, roughness: number, ownShape: number, rowsEach = 30) {
  const stream = randomStream(seed);
  const theta = Float64Array.from({ length: layout.size }, () => stream.normal());
  const deviation = (j: number): number => {
    if (j < commonSize) return roughness;
    const k = (j - commonSize) % size;
    // Level and delay have 0.3; a start may be anything.
    return k === 0 || k === 1 + ownSize ? 0.3 : k <= ownSize ? ownShape : 100;
  };
  const rows: { x: Float64Array; y: number }[] = [];
  for (const { scale } of layout.pulls) {
    for (let i = 0; i < rowsEach; i++) {
      const x = new Float64Array(layout.size);
      for (let j = 0; j < commonSize; j++) x[j] = 40 * stream.normal();
      for (let k = 0; k < size; k++) x[scale + k] = (k >= 1 && k <= ownSize ? 300 : 3) * stream.normal();
      rows.push({ x, y: x.reduce((sum, value, j) => sum + value * theta[j]! * Math.min(deviation(j), 1), 0) + stream.normal() });
    }
  }
  const product = (a: number, b: number): number => rows.reduce((sum, { x }) => sum + x[a]! * x[b]!, 0);
  const right = (a: number): number => rows.reduce((sum, { x, y }) => sum + x[a]! * y, 0);
  const block = (height: number, width: number, fromRow: number, fromColumn: number): Float64Array =>
    Float64Array.from({ length: height * width }, (_, k) => product(fromRow + Math.floor(k / width), fromColumn + (k % width)));
  const setup: SmoothedSystem = {
    system: {
      commonSize,
      common: block(commonSize, commonSize, 0, 0),
      commonRight: Float64Array.from({ length: commonSize }, (_, a) => right(a)),
      pulls: layout.pulls.map(({ scale }) => ({
        size,
        border: block(size, commonSize, scale, 0),
        own: block(size, size, scale, scale),
        right: Float64Array.from({ length: size }, (_, a) => right(scale + a)),
      })),
      total: rows.reduce((sum, { y }) => sum + y * y, 0),
    },
    layout,
    penalty: identity,
    penaltyRank: commonSize,
    ownSize,
  };
  return { setup, rows, deviation };
}

/** Oracle: −2 ln of the normal density of the readings themselves, whose covariance is I + X D Xᵀ with D the variances before the data. */
function deviance({ rows }: ReturnType<typeof drawn>, roughness: number, ownShape: number): number {
  const { deviation } = drawn(0, roughness, ownShape, 0);
  const count = rows.length;
  const covariance = new Float64Array(count * count);
  for (let a = 0; a < count; a++) {
    for (let b = 0; b <= a; b++) {
      let sum = a === b ? 1 : 0;
      for (let j = 0; j < layout.size; j++) sum += rows[a]!.x[j]! * rows[b]!.x[j]! * deviation(j) ** 2;
      covariance[a * count + b] = sum;
    }
  }
  const factor = cholesky(covariance, count)!;
  const white = forwardSubstitute(
    factor,
    count,
    Float64Array.from(rows, ({ y }) => y),
  );
  return choleskyLogDeterminant(factor, count) + white.reduce((sum, value) => sum + value * value, 0);
}

/** What is thought beforehand: as much as one observation, around 1 % and 0.3 %. */
const before = (roughness: number, ownShape: number): number =>
  (Math.log(roughness / 0.01) / 2) ** 2 + (Math.log(ownShape / 0.003) / 1.2) ** 2;

describe('smoothness by restricted likelihood', () => {
  it.each([
    [1, 0.2, 0.02],
    [2, 0.03, 0.05],
    [3, 0.5, 0.004],
  ])('seed %s: is where the density of the readings is highest, of two setups together, to the last step', (seed, roughness, ownShape) => {
    const setups = [drawn(seed, roughness, ownShape), drawn(10 + seed, roughness, ownShape)];
    const total = (r: number, s: number): number => before(r, s) + setups.reduce((sum, setup) => sum + deviance(setup, r, s), 0);
    const found = chooseSmoothness(
      setups.map(({ setup }) => setup),
      { roughness: 0.02, ownShape: 0.003 },
      1,
    );
    const least = total(found.roughness, found.ownShape);
    // The search halves its step from 1 to 0.125.
    for (const step of [0.125, -0.125]) {
      expect(total(found.roughness * Math.exp(step), found.ownShape)).toBeGreaterThan(least);
      expect(total(found.roughness, found.ownShape * Math.exp(step))).toBeGreaterThan(least);
    }
    // Eight coefficients tell a deviation to a factor of about 1.3, twelve own ones to 1.25.
    expect(Math.abs(Math.log(found.roughness / roughness))).toBeLessThan(1);
    expect(Math.abs(Math.log(found.ownShape / ownShape))).toBeLessThan(1);
    expect(Math.log(found.roughness / 0.02) / 0.125).toBeCloseTo(Math.round(Math.log(found.roughness / 0.02) / 0.125), 6);
  });

  it('stays at 1 % and 0.3 % where there is nothing to learn from, wherever it starts', () => {
    // A start without a reading is not determined; one that is known leaves the rest open.
    const { setup } = drawn(1, 1, 1, 0);
    for (const pull of setup.system.pulls) pull.own[size * size - 1] = 1;
    for (const from of [
      { roughness: 0.02, ownShape: 0.003 },
      { roughness: 0.5, ownShape: 0.1 },
      { roughness: 0.0005, ownShape: 0.0001 },
    ]) {
      const { roughness, ownShape } = chooseSmoothness([setup], from, 1);
      expect(Math.abs(Math.log(roughness / 0.01))).toBeLessThan(0.0626);
      expect(Math.abs(Math.log(ownShape / 0.003))).toBeLessThan(0.0626);
    }
  });

  it('stays where it is where the likelihood has no value', () => {
    const { setup } = drawn(1, 1, 1, 0);
    expect(chooseSmoothness([setup], { roughness: 0.02, ownShape: 0.003 }, 1)).toEqual({
      roughness: Math.exp(Math.log(0.02)),
      ownShape: Math.exp(Math.log(0.003)),
    });
  });
});
