/** A cubic B-spline basis on equally spaced knots. Outside its range the end pieces go on as straight lines. */
export interface BSplineBasis {
  readonly from: number;
  readonly to: number;
  /** Distance between knots. */
  readonly step: number;
  /** Number of basis functions. */
  readonly size: number;
}

/**
 * Makes a cubic B-spline basis whose pieces are about as long as asked.
 *
 * @param from Lower end of the range.
 * @param to Upper end, above `from`.
 * @param pieceLength Wanted length of a piece; the nearest whole number of pieces (at least one) is used.
 *
 * Source: de Boor, A Practical Guide to Splines (1978), ch. IX; equally spaced knots as in Eilers & Marx, Statist. Sci. 11 (1996) 89.
 */
export function bSplineBasis(from: number, to: number, pieceLength: number): BSplineBasis {
  const pieces = Math.max(1, Math.round((to - from) / pieceLength));
  return { from, to, step: (to - from) / pieces, size: pieces + 3 };
}

/**
 * Evaluates the four basis functions that can differ from zero at `x`.
 *
 * @param basis From {@link bSplineBasis}.
 * @param x Where; beyond the ends the value and slope at the end are carried on linearly.
 * @param out Receives the four values; `out[k]` belongs to basis function `first + k`.
 * @returns Index `first`.
 */
export function bSplineValues(basis: BSplineBasis, x: number, out: Float64Array): number {
  const inside = Math.min(Math.max(x, basis.from), basis.to);
  const scaled = (inside - basis.from) / basis.step;
  const first = Math.min(Math.floor(scaled), basis.size - 4);
  const u = scaled - first;
  const u2 = u * u;
  const u3 = u2 * u;
  const w = 1 - u;
  out[0] = (w * w * w) / 6;
  out[1] = (3 * u3 - 6 * u2 + 4) / 6;
  out[2] = (-3 * u3 + 3 * u2 + 3 * u + 1) / 6;
  out[3] = u3 / 6;
  if (x !== inside) {
    const beyond = (x - inside) / basis.step;
    out[0] = out[0]! - (beyond * w * w) / 2;
    out[1] = out[1]! + (beyond * (3 * u2 - 4 * u)) / 2;
    out[2] = out[2]! + (beyond * (-3 * u2 + 2 * u + 1)) / 2;
    out[3] = out[3]! + (beyond * u2) / 2;
  }
  return first;
}

/** Value of the spline with these coefficients at `x`. */
export function bSplineAt(basis: BSplineBasis, coefficients: ArrayLike<number>, x: number): number {
  const values = new Float64Array(4);
  const first = bSplineValues(basis, x, values);
  let sum = 0;
  for (let k = 0; k < 4; k++) sum += values[k]! * coefficients[first + k]!;
  return sum;
}

/**
 * Penalty matrix DᵀD of differences of the coefficients.
 *
 * @param size Number of coefficients.
 * @param order Order of the differences, 1 to 3.
 * @returns Row-major, `size` × `size`, rank `size − order`.
 *
 * Source: Eilers & Marx, Statist. Sci. 11 (1996) 89, eq. 5.
 */
export function differencePenalty(size: number, order: number): Float64Array {
  const weights = [[1], [-1, 1], [1, -2, 1], [-1, 3, -3, 1]][order]!;
  const penalty = new Float64Array(size * size);
  for (let row = 0; row + order < size; row++) {
    for (let i = 0; i <= order; i++) {
      for (let j = 0; j <= order; j++) {
        const at = (row + i) * size + row + j;
        penalty[at] = penalty[at]! + weights[i]! * weights[j]!;
      }
    }
  }
  return penalty;
}
