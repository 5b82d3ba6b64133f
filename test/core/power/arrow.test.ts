import { describe, expect, it } from 'vitest';
import { cholesky, choleskyLogDeterminant, choleskySolve, randomStream } from '../../../packages/core/src/maths/index.js';
import { type ArrowSystem, eliminatePulls } from '../../../packages/core/src/power/arrow.js';

/** A random positive definite system: normal equations of random rows that touch the common block and one pull's own. */
function randomSystem(
  seed: number,
  commonSize: number,
  sizes: readonly number[],
): { system: ArrowSystem; dense: Float64Array; right: Float64Array } {
  const stream = randomStream(seed);
  const all = commonSize + sizes.reduce((sum, size) => sum + size, 0);
  const dense = new Float64Array(all * all);
  const right = new Float64Array(all);
  let from = commonSize;
  for (const size of sizes) {
    for (let row = 0; row < 3 * (size + commonSize); row++) {
      const places = [...Array.from({ length: commonSize }, (_, j) => j), ...Array.from({ length: size }, (_, j) => from + j)];
      const values = places.map(() => stream.normal());
      const y = stream.normal();
      places.forEach((i, a) => {
        right[i] = right[i]! + values[a]! * y;
        places.forEach((j, b) => {
          dense[i * all + j] = dense[i * all + j]! + values[a]! * values[b]!;
        });
      });
    }
    from += size;
  }
  const block = (rows: number, columns: number, atRow: number, atColumn: number): Float64Array =>
    Float64Array.from({ length: rows * columns }, (_, k) => dense[(atRow + Math.floor(k / columns)) * all + atColumn + (k % columns)]!);
  let at = commonSize;
  const pulls = sizes.map((size) => {
    const own = { size, border: block(size, commonSize, at, 0), own: block(size, size, at, at), right: right.slice(at, at + size) };
    at += size;
    return own;
  });
  return {
    system: { commonSize, common: block(commonSize, commonSize, 0, 0), commonRight: right.slice(0, commonSize), pulls, total: 0 },
    dense,
    right,
  };
}

describe('elimination of the pulls', () => {
  // Oracle: the same system as one dense matrix.
  it.each([
    [4, [3]],
    [7, [5, 2, 6]],
    [12, [1, 1, 9, 4]],
  ])(
    'with %s common parameters and pulls of %s gives solution, determinant and what is explained of the dense matrix',
    (commonSize, sizes) => {
      const { system, dense, right } = randomSystem(commonSize, commonSize, sizes);
      const all = right.length;
      const prior = sizes.map((size) => new Float64Array(size).fill(0.7));
      for (let i = commonSize; i < all; i++) dense[i * all + i] = dense[i * all + i]! + 0.7;
      const factor = cholesky(dense, all)!;
      const solution = choleskySolve(factor, all, right);
      const reduced = eliminatePulls(system, prior)!;
      const common = cholesky(reduced.common, commonSize)!;
      const own = choleskySolve(common, commonSize, reduced.right);
      own.forEach((value, i) => {
        expect(value).toBeCloseTo(solution[i]!, 10);
      });
      let at = commonSize;
      reduced.pulls.forEach(({ border, right: alone }, p) => {
        for (let i = 0; i < sizes[p]!; i++) {
          let value = alone[i]!;
          for (let j = 0; j < commonSize; j++) value -= border[i * commonSize + j]! * own[j]!;
          expect(value).toBeCloseTo(solution[at + i]!, 10);
        }
        at += sizes[p]!;
      });
      // Schur complement A − Bᵀ D⁻¹ B by its lower triangle: the inverse of what the dense inverse has in the common block.
      for (let column = 0; column < commonSize; column++) {
        const unit = new Float64Array(all);
        unit[column] = 1;
        const inverseColumn = choleskySolve(factor, all, unit).subarray(0, commonSize);
        for (let row = 0; row < commonSize; row++) {
          let value = 0;
          for (let k = 0; k < commonSize; k++)
            value += reduced.common[Math.max(row, k) * commonSize + Math.min(row, k)]! * inverseColumn[k]!;
          expect(value).toBeCloseTo(row === column ? 1 : 0, 9);
        }
      }
      const explained = solution.reduce((sum, value, i) => sum + value * right[i]!, 0);
      expect(reduced.explained + own.reduce((sum, value, i) => sum + value * reduced.right[i]!, 0)).toBeCloseTo(explained, 8);
      expect(reduced.logDeterminant + choleskyLogDeterminant(common, commonSize)).toBeCloseTo(choleskyLogDeterminant(factor, all), 10);
    },
  );

  it('has no answer where a pull determines none of its own parameters', () => {
    const { system } = randomSystem(3, 4, [3]);
    const empty = { ...system.pulls[0]!, own: new Float64Array(9) };
    expect(eliminatePulls({ ...system, pulls: [empty] }, [new Float64Array(3)])).toBeNull();
  });
});
