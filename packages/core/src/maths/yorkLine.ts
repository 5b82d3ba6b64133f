/** A reading of two quantities that both have an error. */
export interface YorkPoint {
  readonly x: number;
  readonly y: number;
  /** Standard uncertainties, above 0; independent of each other. */
  readonly xSpread: number;
  readonly ySpread: number;
}

/** Best straight line through such readings. */
export interface YorkLine {
  readonly slope: number;
  readonly intercept: number;
  readonly slopeSpread: number;
  readonly interceptSpread: number;
  readonly covariance: number;
  /** Σ W (y − a − b x)²: near the number of readings less two where the uncertainties are right. */
  readonly squares: number;
  readonly iterations: number;
}

const mostIterations = 100;

/**
 * Straight line through readings with errors in both quantities, each with its own.
 *
 * Least Σ W (y − a − b x)² with W = 1/(u_y² + b² u_x²), by York's iteration on the slope.
 *
 * @param points 3 or more, not all at one x
 * @returns the line with its standard uncertainties; null with fewer points, or where the iteration does not settle
 *
 * Source: [YORK2004] eqs. 13a to 13d, uncorrelated errors.
 */
export function yorkLine(points: readonly YorkPoint[]): YorkLine | null {
  if (points.length < 3) return null;
  let slope = plainSlope(points);
  for (let iterations = 1; iterations <= mostIterations; iterations++) {
    const { next, line } = step(points, slope);
    if (!Number.isFinite(next)) return null;
    if (Math.abs(next - slope) <= 1e-13 * (1 + Math.abs(next))) return { ...line(next), iterations };
    slope = next;
  }
  return null;
}

function plainSlope(points: readonly YorkPoint[]): number {
  const meanX = points.reduce((sum, { x }) => sum + x, 0) / points.length;
  const meanY = points.reduce((sum, { y }) => sum + y, 0) / points.length;
  const product = points.reduce((sum, { x, y }) => sum + (x - meanX) * (y - meanY), 0);
  return product / points.reduce((sum, { x }) => sum + (x - meanX) ** 2, 0);
}

function step(points: readonly YorkPoint[], slope: number) {
  const weights = points.map(({ xSpread, ySpread }) => 1 / (ySpread ** 2 + (slope * xSpread) ** 2));
  const total = weights.reduce((sum, weight) => sum + weight, 0);
  const weighted = (of: (point: YorkPoint, i: number) => number): number =>
    points.reduce((sum, point, i) => sum + weights[i]! * of(point, i), 0) / total;
  const meanX = weighted(({ x }) => x);
  const meanY = weighted(({ y }) => y);
  // Where each reading lies along the line, from the weighted middle.
  const along = points.map(
    ({ x, y, xSpread, ySpread }, i) => weights[i]! * ((x - meanX) * ySpread ** 2 + slope * (y - meanY) * xSpread ** 2),
  );
  const next = weighted(({ y }, i) => along[i]! * (y - meanY)) / weighted(({ x }, i) => along[i]! * (x - meanX));
  const line = (found: number): Omit<YorkLine, 'iterations'> => {
    const intercept = meanY - found * meanX;
    const shift = weighted((_, i) => along[i]!);
    const slopeVariance = 1 / (total * weighted((_, i) => (along[i]! - shift) ** 2));
    const middle = meanX + shift;
    return {
      slope: found,
      intercept,
      slopeSpread: Math.sqrt(slopeVariance),
      interceptSpread: Math.sqrt(1 / total + middle ** 2 * slopeVariance),
      covariance: -middle * slopeVariance,
      squares: total * weighted(({ x, y }) => (y - intercept - found * x) ** 2),
    };
  };
  return { next, line };
}
