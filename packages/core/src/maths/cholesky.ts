/**
 * Factors a symmetric positive definite matrix as L Lᵀ.
 *
 * @param matrix Row-major, `size` × `size`; only the lower triangle is read.
 * @param size Rows.
 * @returns Row-major lower triangle L (zeros above), or null where the matrix is not positive definite.
 *
 * Source: Golub & Van Loan, Matrix Computations, 4th ed. (2013), alg. 4.2.1.
 */
export function cholesky(matrix: Float64Array, size: number): Float64Array | null {
  const l = new Float64Array(size * size);
  for (let j = 0; j < size; j++) {
    const rowJ = j * size;
    let pivot = matrix[rowJ + j]!;
    for (let k = 0; k < j; k++) pivot -= l[rowJ + k]! * l[rowJ + k]!;
    if (!(pivot > 0)) return null;
    const diagonal = Math.sqrt(pivot);
    l[rowJ + j] = diagonal;
    for (let i = j + 1; i < size; i++) {
      const rowI = i * size;
      let sum = matrix[rowI + j]!;
      for (let k = 0; k < j; k++) sum -= l[rowI + k]! * l[rowJ + k]!;
      l[rowI + j] = sum / diagonal;
    }
  }
  return l;
}

/** Solves L Lᵀ x = b for one right side; `l` from {@link cholesky}. */
export function choleskySolve(l: Float64Array, size: number, right: Float64Array): Float64Array {
  const x = forwardSubstitute(l, size, right);
  for (let i = size - 1; i >= 0; i--) {
    let sum = x[i]!;
    for (let k = i + 1; k < size; k++) sum -= l[k * size + i]! * x[k]!;
    x[i] = sum / l[i * size + i]!;
  }
  return x;
}

/** Solves L y = b. */
export function forwardSubstitute(l: Float64Array, size: number, right: Float64Array): Float64Array {
  const y = Float64Array.from(right);
  for (let i = 0; i < size; i++) {
    const row = i * size;
    let sum = y[i]!;
    for (let k = 0; k < i; k++) sum -= l[row + k]! * y[k]!;
    y[i] = sum / l[row + i]!;
  }
  return y;
}

/** Inverse of the matrix whose factor is `l`, row-major. */
export function choleskyInverse(l: Float64Array, size: number): Float64Array {
  // Invert L column by column, then form L⁻ᵀ L⁻¹.
  const inverse = new Float64Array(size * size);
  for (let j = 0; j < size; j++) {
    inverse[j * size + j] = 1 / l[j * size + j]!;
    for (let i = j + 1; i < size; i++) {
      let sum = 0;
      for (let k = j; k < i; k++) sum -= l[i * size + k]! * inverse[k * size + j]!;
      inverse[i * size + j] = sum / l[i * size + i]!;
    }
  }
  const out = new Float64Array(size * size);
  for (let i = 0; i < size; i++) {
    for (let j = 0; j <= i; j++) {
      let sum = 0;
      for (let k = i; k < size; k++) sum += inverse[k * size + i]! * inverse[k * size + j]!;
      out[i * size + j] = sum;
      out[j * size + i] = sum;
    }
  }
  return out;
}

/** Logarithm of the determinant of L Lᵀ. */
export function choleskyLogDeterminant(l: Float64Array, size: number): number {
  let sum = 0;
  for (let i = 0; i < size; i++) sum += Math.log(l[i * size + i]!);
  return 2 * sum;
}
