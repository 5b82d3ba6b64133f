import { chiSquaredDraw, cholesky, type RandomStream, randomStream, studentTTwoSided } from '../maths/index.js';

/**
 * One source of error in a curve: a fixed shape times one random number. `degrees` says how well its standard deviation is known
 * (Infinity: known or stated; few: estimated from few repeats). Errors of one name and as many degrees rest on one estimate.
 */
export interface SharedError {
  readonly name: string;
  /** Standard deviation at each point, signed: points move together. */
  readonly shape: Float64Array;
  readonly degrees: number;
}

/** Errors of a curve on a grid of points. */
export interface CurveErrors {
  readonly shared: readonly SharedError[];
  /** Covariance of what is left, row-major; null where there is none. */
  readonly covariance: Float64Array | null;
}

/** A band around a curve, and what it takes to ask about means over a range. */
export interface Band {
  /** Standard deviation at each point. */
  readonly standardDeviation: Float64Array;
  /** Half-width at each point, each point by itself. */
  readonly pointwise: Float64Array;
  /** Half-width at each point so that the whole curve lies inside at once. */
  readonly simultaneous: Float64Array;
  /** Largest factor on the standard deviation that gives the simultaneous half-width; 0 where there is no error. */
  readonly factor: number;
  /** Half-width for the mean over the points [from, to). */
  readonly ofMean: (from: number, to: number) => number;
}

/**
 * Bands for a curve from its sources of error.
 *
 * A standard deviation that is made of estimated and known parts counts as estimated with ν = s⁴ / Σ sₖ⁴/νₖ degrees of freedom
 * (Welch–Satterthwaite), and the half-width at one point is s times Student's t of ν. For the whole curve Student's t gives way to the
 * `level` quantile of M · √(ν/χ²ν), where M is the largest |error| / standard deviation over the points, simulated with all standard
 * deviations as they are: one estimated scale for a whole curve errs everywhere alike. On one point both are the same. Every point has
 * the factor of its own ν.
 *
 * To draw each estimated part with a scale of its own instead, and hold the largest sum against the fixed standard deviation, is
 * Behrens and Fisher's answer. It agrees on one point where one part outweighs the others, but where they are alike it holds 95 to
 * 97.5 % for 95 % (97.4 % for three pulls of each setup, 0.3 % between pulls, 0.2 % of everything else), and Welch's 94 to 96 %. Of a
 * whole curve whose estimated part outweighs the rest this one is a little wide: what bends the curve is scaled along with it.
 *
 * @param errors Sources of error on `points` points.
 * @param points Number of points.
 * @param options `level` (default 0.95), `draws` (default 4000), `seed` (default 1).
 * @returns Half-widths; points where the standard deviation is 0 have half-width 0.
 *
 * Source: simultaneous bands by the maximum: Degras, Statist. Sinica 21 (2011) 1735; degrees of freedom: Welch, Biometrika 34 (1947) 28,
 * and JCGM 100:2008, G.4; of each comparison in a largest of many: Hasler & Hothorn, Biometrical J. 50 (2008) 793.
 */
export function bandOf(
  errors: CurveErrors,
  points: number,
  options: { readonly level?: number; readonly draws?: number; readonly seed?: number } = {},
): Band {
  const { level = 0.95, draws = 4000, seed = 1 } = options;
  const variance = new Float64Array(points);
  const fourth = new Float64Array(points);
  for (const { shapes, degrees } of spreadsOf(errors.shared)) {
    for (let i = 0; i < points; i++) {
      let v = 0;
      for (const shape of shapes) v += shape[i]! * shape[i]!;
      variance[i] = variance[i]! + v;
      fourth[i] = fourth[i]! + (v * v) / degrees;
    }
  }
  if (errors.covariance !== null) for (let i = 0; i < points; i++) variance[i] = variance[i]! + errors.covariance[i * points + i]!;
  const standardDeviation = variance.map(Math.sqrt);
  const degrees = variance.map((value, i) => degreesOf(value, fourth[i]!));
  const pointwise = standardDeviation.map((sd, i) => (sd === 0 ? 0 : sd * studentTTwoSided(level, degrees[i]!)));
  const stream = randomStream(seed);
  const largest = largestErrors(errors, standardDeviation, variance, draws, stream);
  const factorAt = factorsOf(
    largest,
    degrees.filter((_, i) => variance[i]! > 0),
    { level, stream },
  );
  // What is drawn is known to a few hundredths: a whole curve is never surer than one of its points.
  const wholeFactors = standardDeviation.map((sd, i) => (sd === 0 ? 0 : Math.max(factorAt(degrees[i]!), pointwise[i]! / sd)));
  const simultaneous = standardDeviation.map((sd, i) => Math.max(sd * wholeFactors[i]!, pointwise[i]!));
  return {
    standardDeviation,
    pointwise,
    simultaneous,
    factor: wholeFactors.reduce((most, factor) => Math.max(most, factor), 0),
    ofMean: (from, to) => halfOfMean(errors, { points, level, from, to }),
  };
}

/** Errors of one name rest on one estimate, so that their variances are added before their degrees of freedom count. */
function spreadsOf(shared: readonly SharedError[]): { readonly shapes: readonly Float64Array[]; readonly degrees: number }[] {
  const spreads = new Map<string, { readonly shapes: Float64Array[]; readonly degrees: number }>();
  for (const { name, shape, degrees } of shared) {
    const key = `${name}|${degrees}`;
    const spread = spreads.get(key);
    if (spread === undefined) spreads.set(key, { shapes: [shape], degrees });
    else spread.shapes.push(shape);
  }
  return [...spreads.values()];
}

/**
 * Half-width, at one point by itself, of an error that is estimated from few repeats: what {@link bandOf} gives for it.
 *
 * @param standardDeviation of the error
 * @param degrees of freedom that it is known by
 */
export function halfAtPoint(standardDeviation: number, degrees: number, level: number = 0.95): number {
  const variance = standardDeviation * standardDeviation;
  return variance === 0 ? 0 : Math.sqrt(variance) * studentTTwoSided(level, degreesOf(variance, (variance * variance) / degrees));
}

/** Welch–Satterthwaite; Infinity where nothing is estimated. */
function degreesOf(variance: number, fourth: number): number {
  return fourth === 0 ? Number.POSITIVE_INFINITY : Math.max(1, (variance * variance) / fourth);
}

/** Half-width of the mean of the points [from, to), by its own standard deviation and degrees of freedom. */
function halfOfMean(
  { shared, covariance }: CurveErrors,
  { points, level, from, to }: { readonly points: number; readonly level: number; readonly from: number; readonly to: number },
): number {
  let variance = 0;
  let fourth = 0;
  for (const { shapes, degrees } of spreadsOf(shared)) {
    let own = 0;
    for (const shape of shapes) {
      let sum = 0;
      for (let i = from; i < to; i++) sum += shape[i]!;
      own += (sum / (to - from)) ** 2;
    }
    variance += own;
    fourth += own ** 2 / degrees;
  }
  if (covariance !== null) {
    let sum = 0;
    for (let i = from; i < to; i++) for (let j = from; j < to; j++) sum += covariance[i * points + j]!;
    variance += Math.max(0, sum) / (to - from) ** 2;
  }
  return variance === 0 ? 0 : Math.sqrt(variance) * studentTTwoSided(level, degreesOf(variance, fourth));
}

/** The largest |error| / standard deviation over the points in each of `draws` draws, in order of size. */
function largestErrors(
  errors: CurveErrors,
  standardDeviation: Float64Array,
  variance: Float64Array,
  draws: number,
  stream: RandomStream,
): Float64Array {
  const points = variance.length;
  const largest = new Float64Array(draws);
  if (draws === 0) return largest;
  const columns = rootsOf(errors, points, variance);
  const scaled = new Float64Array(columns.length * points);
  const from = new Uint32Array(columns.length);
  const to = new Uint32Array(columns.length);
  for (let c = 0; c < columns.length; c++) {
    from[c] = points;
    for (let i = 0; i < points; i++) {
      const value = standardDeviation[i]! > 0 ? columns[c]![i]! / standardDeviation[i]! : 0;
      scaled[c * points + i] = value;
      if (value === 0) continue;
      if (from[c] === points) from[c] = i;
      to[c] = i + 1;
    }
  }
  const normals = new Float64Array(columns.length);
  const error = new Float64Array(points);
  for (let d = 0; d < draws; d++) {
    stream.fillNormal(normals);
    largest[d] = largestSum(scaled, normals, error, from, to);
  }
  return largest.sort();
}

/** The largest size of Σ normal · column over the points; `from` and `to` say where a column is not zero. */
function largestSum(columns: Float64Array, normals: Float64Array, error: Float64Array, from: Uint32Array, to: Uint32Array): number {
  const points = error.length;
  error.fill(0);
  for (let c = 0; c < normals.length; c++) {
    const z = normals[c]!;
    const end = to[c]!;
    const base = c * points;
    for (let i = from[c]!; i < end; i++) error[i] = error[i]! + z * columns[base + i]!;
  }
  let most = 0;
  for (let i = 0; i < points; i++) {
    const size = Math.abs(error[i]!);
    if (size > most) most = size;
  }
  return most;
}

/** Places in 1/ν between the least and the most degrees of freedom at which the factor is simulated; straight lines between. */
const factorPlaces = 4;

/** The `level` quantile of M · √(ν/χ²ν) for the degrees of freedom that a curve's points have. */
function factorsOf(
  largest: Float64Array,
  degrees: Float64Array,
  { level, stream }: { readonly level: number; readonly stream: RandomStream },
): (degrees: number) => number {
  const draws = largest.length;
  if (degrees.length === 0 || draws === 0) return () => Number.NaN;
  const inverse = degrees.map((value) => 1 / value);
  const low = Math.min(...inverse);
  const high = Math.max(...inverse);
  const count = high - low < 1e-6 ? 1 : factorPlaces;
  const factors = Float64Array.from({ length: count }, (_, k) => {
    const own = 1 / (low + (count === 1 ? 0 : ((high - low) * k) / (count - 1)));
    const scaled = Number.isFinite(own) ? largest.map((most) => most * Math.sqrt(own / chiSquaredDraw(stream, own))).sort() : largest;
    return scaled[Math.min(draws - 1, Math.ceil(level * draws) - 1)]!;
  });
  const at = (value: number): number => {
    if (count === 1) return factors[0]!;
    const place = ((1 / value - low) / (high - low)) * (count - 1);
    const k = Math.min(count - 2, Math.floor(place));
    return factors[k]! * (k + 1 - place) + factors[k + 1]! * (place - k);
  };
  return at;
}

/** Draws for the band of a whole curve that no verdict rests on: its factor is known to about 0.03. */
export const wholeCurveDraws = 2000;

/** Share of the whole variance that may be left out of what is drawn. */
const negligible = 1e-4;

/** Columns to be multiplied by independent standard normal numbers. */
function rootsOf({ shared, covariance }: CurveErrors, points: number, variance: Float64Array): Float64Array[] {
  const whole = covariance === null ? new Float64Array(points * points) : Float64Array.from(covariance);
  for (const { shape } of shared) {
    for (let i = 0; i < points; i++) {
      for (let j = 0; j < points; j++) whole[i * points + j] = whole[i * points + j]! + shape[i]! * shape[j]!;
    }
  }
  let all = 0;
  for (const value of variance) all += value;
  return covarianceColumns(whole, points, negligible * all);
}

/**
 * Columns C with C Cᵀ = covariance, as many as it takes: pivoted Cholesky, until what is left of the trace is `enough`.
 *
 * Source: Higham, Analysis of the Cholesky decomposition of a semi-definite matrix (1990), sec. 4 (complete pivoting).
 */
function covarianceColumns(covariance: Float64Array, points: number, enough: number): Float64Array[] {
  const left = Float64Array.from({ length: points }, (_, i) => covariance[i * points + i]!);
  let trace = 0;
  for (const value of left) trace += value;
  const columns: Float64Array[] = [];
  while (trace > enough && columns.length < points) {
    let pivot = 0;
    for (let i = 1; i < points; i++) if (left[i]! > left[pivot]!) pivot = i;
    const root = Math.sqrt(left[pivot]!);
    if (!(root > 0)) break;
    const column = new Float64Array(points);
    for (let i = 0; i < points; i++) column[i] = covariance[i * points + pivot]!;
    for (const earlier of columns) {
      const weight = earlier[pivot]!;
      for (let i = 0; i < points; i++) column[i] = column[i]! - weight * earlier[i]!;
    }
    trace = 0;
    for (let i = 0; i < points; i++) {
      column[i] = left[i]! > 0 ? column[i]! / root : 0;
      left[i] = Math.max(0, left[i]! - column[i]! ** 2);
    }
    column[pivot] = root;
    left[pivot] = 0;
    for (const value of left) trace += value;
    columns.push(column);
  }
  return columns;
}

/** Cholesky factor of a covariance that may be singular: a part in 10⁹ of the diagonal is added. */
export function lowerFactor(covariance: Float64Array, points: number): Float64Array {
  let largest = 0;
  for (let i = 0; i < points; i++) largest = Math.max(largest, covariance[i * points + i]!);
  if (largest === 0) return new Float64Array(points * points);
  for (let jitter = 1e-9; jitter < 1e-3; jitter *= 10) {
    const lifted = Float64Array.from(covariance);
    for (let i = 0; i < points; i++) lifted[i * points + i] = lifted[i * points + i]! + jitter * largest;
    const lower = cholesky(lifted, points);
    if (lower !== null) return lower;
  }
  throw new RangeError('bandOf: the covariance is not positive semidefinite');
}
