import { cholesky } from '../maths/index.js';

/**
 * Normal equations of one setup: parameters of the common curve, and those that each pull has by itself. A pull's own parameters meet
 * those of no other pull, so that the matrix is an arrow: a common block, and for each pull a border and a block of its own.
 */
export interface ArrowSystem {
  readonly commonSize: number;
  /** Common × common, row-major; only the lower triangle is filled. */
  readonly common: Float64Array;
  readonly commonRight: Float64Array;
  readonly pulls: readonly PullBlock[];
  /** Weighted sum of squares of the right side's data. */
  total: number;
}

/** What one pull adds beside the common block. */
export interface PullBlock {
  readonly size: number;
  /** Own × common, row-major. */
  readonly border: Float64Array;
  /** Own × own, row-major; only the lower triangle is filled. */
  readonly own: Float64Array;
  readonly right: Float64Array;
}

/** The system with the pulls' own parameters eliminated. */
export interface ReducedSystem {
  /** Schur complement, common × common; its lower triangle. */
  readonly common: Float64Array;
  readonly right: Float64Array;
  /** Σ over the pulls of the logarithm of the own block's determinant. */
  readonly logDeterminant: number;
  /** Σ of rᵀ D⁻¹ r over the own right sides r: what own parameters explain by themselves. */
  readonly explained: number;
  /** For each pull the factor of its own block, D⁻¹ · border (own × common) and D⁻¹ · right. */
  readonly pulls: readonly { readonly factor: Float64Array; readonly border: Float64Array; readonly right: Float64Array }[];
}

/**
 * Eliminates the pulls' own parameters.
 *
 * @param prior Precision added to the diagonal of each pull's own block.
 * @returns Null where a block is not positive definite.
 *
 * Source: bordered systems: Golub & Van Loan, Matrix Computations, 4th ed. (2013), sec. 4.5 (block elimination).
 */
export function eliminatePulls(system: ArrowSystem, prior: readonly Float64Array[]): ReducedSystem | null {
  const { commonSize } = system;
  const common = Float64Array.from(system.common);
  const right = Float64Array.from(system.commonRight);
  let logDeterminant = 0;
  let explained = 0;
  const pulls: { factor: Float64Array; border: Float64Array; right: Float64Array }[] = [];
  for (const [p, block] of system.pulls.entries()) {
    const { size } = block;
    const own = Float64Array.from(block.own);
    for (let i = 0; i < size; i++) own[i * size + i] = own[i * size + i]! + prior[p]![i]!;
    const factor = cholesky(own, size);
    if (factor === null) return null;
    for (let i = 0; i < size; i++) logDeterminant += 2 * Math.log(factor[i * size + i]!);
    const half = Float64Array.from(block.border);
    forwardRows(factor, size, half, commonSize);
    const halfRight = Float64Array.from(block.right);
    forwardRows(factor, size, halfRight, 1);
    for (let k = 0; k < size; k++) {
      const row = k * commonSize;
      const r = halfRight[k]!;
      explained += r * r;
      for (let i = 0; i < commonSize; i++) {
        const value = half[row + i]!;
        if (value === 0) continue;
        right[i] = right[i]! - value * r;
        const base = i * commonSize;
        for (let j = 0; j <= i; j++) common[base + j] = common[base + j]! - value * half[row + j]!;
      }
    }
    backwardRows(factor, size, half, commonSize);
    backwardRows(factor, size, halfRight, 1);
    pulls.push({ factor, border: half, right: halfRight });
  }
  return { common, right, logDeterminant, explained, pulls };
}

/** Solves L X = B in place for `columns` right sides at once, B row-major. */
function forwardRows(l: Float64Array, size: number, b: Float64Array, columns: number): void {
  for (let i = 0; i < size; i++) {
    const row = i * columns;
    for (let k = 0; k < i; k++) {
      const weight = l[i * size + k]!;
      if (weight === 0) continue;
      for (let c = 0; c < columns; c++) b[row + c] = b[row + c]! - weight * b[k * columns + c]!;
    }
    const inverse = 1 / l[i * size + i]!;
    for (let c = 0; c < columns; c++) b[row + c] = b[row + c]! * inverse;
  }
}

/** Solves Lᵀ X = B in place for `columns` right sides at once, B row-major. */
function backwardRows(l: Float64Array, size: number, b: Float64Array, columns: number): void {
  for (let i = size - 1; i >= 0; i--) {
    const row = i * columns;
    for (let k = i + 1; k < size; k++) {
      const weight = l[k * size + i]!;
      if (weight === 0) continue;
      for (let c = 0; c < columns; c++) b[row + c] = b[row + c]! - weight * b[k * columns + c]!;
    }
    const inverse = 1 / l[i * size + i]!;
    for (let c = 0; c < columns; c++) b[row + c] = b[row + c]! * inverse;
  }
}
