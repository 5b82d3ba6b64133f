import { cholesky, choleskyLogDeterminant, choleskySolve } from '../maths/index.js';

/** A point of a grid. All values are shares of one level. */
export interface CurvePoint {
  readonly x: number;
  /** Curve of the same car that was read free of the ceiling. */
  readonly reference: number;
  /** The same above the air that it is made from. */
  readonly above: number;
  /** Mean of the free readings; NaN where there are none. */
  readonly mean: number;
  /** Standard uncertainty of the mean. */
  readonly spread: number;
}

/** Curves that stray by so much from the shape of the reference, and go with the free readings. */
export interface CurvesLikeReference {
  /** Logarithm of how well the free readings go with them, the prior of straying included. */
  readonly logEvidence: number;
  /** Points of a curve. */
  readonly size: number;
  /** The curve, a value for each point, that white noise stands for. */
  readonly curveOf: (white: Float64Array) => Float64Array;
}

/**
 * How far a curve strays from reference + changes of the whole and of what lies above the air + slope: median and step of a log-normal prior, as a share, and over how many thousand rpm.
 * Found on the invented curves of packages/simulation (docs/boost-and-sensors.md says which); regression, not truth.
 */
const straying = { median: 0.016, step: 1.7, sizes: [-2, -1.2, -0.4, 0.4, 1.2, 2], over: 1 } as const;
/** One standard uncertainty of the change of the whole, of what lies above the air, and of the slope over 1,000 rpm. A pulley moves the whole, a target what lies above the air. */
const likeness = { whole: 0.1, above: 0.2, slope: 0.02 } as const;
/** What readings of different pulls keep apart for good, as a share. */
const commonShare = 0.0015;

/**
 * The reference with its changes plus a process that strays from them, through the means of the free readings.
 *
 * @param points on an even grid of engine speed
 */
export function curvesLikeReference(points: readonly CurvePoint[]): CurvesLikeReference[] {
  const size = points.length;
  const seen = points.flatMap(({ mean }, i) => (Number.isNaN(mean) ? [] : [i]));
  const n = seen.length;
  const t = points.map(({ x }) => (x - points[0]!.x) / 1000);
  return straying.sizes.map((z): CurvesLikeReference => {
    const variance = (straying.median * straying.step ** z) ** 2;
    const prior = (i: number, j: number): number => {
      // Matérn covariance of order 5/2: smooth, and far from the readings it comes back to the shape of the reference.
      const h = (Math.sqrt(5) * Math.abs(t[i]! - t[j]!)) / straying.over;
      const shapes =
        likeness.whole ** 2 * points[i]!.reference * points[j]!.reference + likeness.above ** 2 * points[i]!.above * points[j]!.above;
      return (
        shapes +
        likeness.slope ** 2 * (t[i]! - t[size - 1]! / 2) * (t[j]! - t[size - 1]! / 2) +
        variance * (1 + h + (h * h) / 3) * Math.exp(-h)
      );
    };
    const gram = new Float64Array(n * n);
    seen.forEach((i, a) => {
      seen.forEach((j, b) => {
        gram[a * n + b] = prior(i, j) + (a === b ? points[i]!.spread ** 2 + commonShare ** 2 : 0);
      });
    });
    const lower = cholesky(gram, n)!;
    const residual = Float64Array.from(seen, (i) => points[i]!.mean - points[i]!.reference);
    const solved = choleskySolve(lower, n, residual);
    const fit = residual.reduce((sum, r, a) => sum + r * solved[a]!, 0);
    const across = Array.from({ length: size }, (_, k) => Float64Array.from(seen, (i) => prior(k, i)));
    const through = across.map((row) => choleskySolve(lower, n, row));
    const mean = across.map((row, k) => points[k]!.reference + row.reduce((sum, c, a) => sum + c * solved[a]!, 0));
    const covariance = new Float64Array(size * size);
    for (let k = 0; k < size; k++)
      for (let l = 0; l <= k; l++) {
        let value = prior(k, l);
        for (let a = 0; a < n; a++) value -= across[k]![a]! * through[l]![a]!;
        covariance[k * size + l] = value;
        covariance[l * size + k] = value;
      }
    for (let k = 0; k < size; k++) covariance[k * size + k]! += 1e-9;
    const root = cholesky(covariance, size)!;
    return {
      logEvidence: -0.5 * fit - 0.5 * choleskyLogDeterminant(lower, n) - 0.5 * z ** 2,
      size,
      curveOf: (white) => {
        const curve = new Float64Array(size);
        for (let k = 0; k < size; k++) {
          let value = mean[k]!;
          for (let l = 0; l <= k; l++) value += root[k * size + l]! * white[l]!;
          curve[k] = value;
        }
        return curve;
      },
    };
  });
}
