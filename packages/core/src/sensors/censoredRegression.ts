import { PullproofError } from '../findings/index.js';
import { cholesky, choleskyInverse, choleskySolve, normalTwoSided } from '../maths/index.js';
import { inverseMills, logNormalCdf } from './normalTail.js';

/** Options of {@link censoredRegression}. */
export interface CensoredOptions {
  /** Default 60. */
  readonly maxIterations?: number;
  /** Newton stops when no slope of the mean log-likelihood is steeper than this. Default 1e-10. */
  readonly tolerance?: number;
}

export interface CensoredFit {
  /** One for each column of the design. */
  readonly coefficients: Float64Array;
  /** Standard deviation of a reading about the line. */
  readonly sigma: number;
  readonly logLikelihood: number;
  /** Of the coefficients and of ln sigma, row-major, from the observed information. */
  readonly covariance: Float64Array;
  readonly iterations: number;
  /** Steepest slope of the mean log-likelihood left, in standardised units. */
  readonly residual: number;
  readonly seen: number;
  readonly censored: number;
}

/**
 * Least squares for readings of which some are only known to be "at least" or "at most" their value.
 *
 * ln L = Σ seen ln[φ((y − Xb)/s)/s] + Σ at least ln Φ((Xb − c)/s) + Σ at most ln Φ((c − Xb)/s)
 *
 * Newton's method in γ = b/s, θ = 1/s, in which ln L is concave, so the maximum is the only one.
 *
 * @param design columns of the design, each with one value a reading (give a column of ones for a constant)
 * @param values readings; where censored, the limit they stopped at
 * @param bound for each reading: 0 seen, 1 at least, −1 at most
 * @returns coefficients, sigma, covariance, and how the solver ended
 * @throws E_LENGTHS, E_TOO_FEW_SEEN (fewer seen readings than unknowns), E_SINGULAR, E_NOT_CONVERGED
 *
 * Validity: normal errors of one size, and the right columns. What it says beyond the limit is an extrapolation that rests on both: show it as model-based, with its band, never as a reading.
 *
 * Source: [TOBIN1958]; the concave form of Olsen, Econometrica 46 (1978) 1211 (from memory). Checked against R's survival::survreg.
 *
 * @example
 * ```ts
 * import { censoredRegression } from '@pullproof/core';
 *
 * const values = Float64Array.of(188, 192, 195, 197, 199, 200, 200, 200);
 * const atLeast = Int8Array.of(0, 0, 0, 0, 0, 1, 1, 1);
 * const fit = censoredRegression([new Float64Array(8).fill(1)], values, atLeast);
 * Math.abs(fit.coefficients[0] - 197.9302) < 1e-3; // => true
 * ```
 */
export function censoredRegression(
  design: readonly Float64Array[],
  values: Float64Array,
  bound: Int8Array,
  options: CensoredOptions = {},
): CensoredFit {
  const { maxIterations = 60, tolerance = 1e-10 } = options;
  const n = values.length;
  const columns = design.length;
  if (bound.length !== n || design.some((column) => column.length !== n)) {
    throw new PullproofError(
      'E_LENGTHS',
      `There are ${n} readings, but columns or bounds of another length.`,
      {},
      'Give arrays of one length.',
    );
  }
  const seen = bound.reduce((sum, one) => sum + (one === 0 ? 1 : 0), 0);
  if (seen < columns + 1) {
    throw new PullproofError(
      'E_TOO_FEW_SEEN',
      `Only ${seen} of ${n} readings are free of the limit, for ${columns + 1} unknowns.`,
      {},
      'Log more below the limit, or fit fewer terms.',
    );
  }
  // Standardised, so that one tolerance and one Cholesky serve every unit.
  const columnScale = design.map((column) => Math.max(...column.map(Math.abs)) || 1);
  const valueScale = Math.max(...values.map(Math.abs)) || 1;
  const x = design.map((column, k) => column.map((value) => value / columnScale[k]!));
  const y = values.map((value) => value / valueScale);

  const size = columns + 1;
  let unknowns = startingPoint(x, y);
  let now = evaluate(x, y, bound, unknowns);
  let iterations = 0;
  let residual = Number.POSITIVE_INFINITY;
  for (; iterations < maxIterations; iterations++) {
    residual = Math.max(...now.gradient.map(Math.abs)) / n;
    if (residual <= tolerance) break;
    const factor = cholesky(now.information, size);
    if (factor === null) throw singular();
    const step = choleskySolve(factor, size, now.gradient);
    let length = 1;
    let next = now;
    let moved = unknowns;
    for (; length > 1e-10; length /= 2) {
      moved = unknowns.map((value, k) => value + length * step[k]!);
      if (!(moved[columns]! > 0)) continue;
      next = evaluate(x, y, bound, moved);
      if (next.logLikelihood >= now.logLikelihood - 1e-12 * Math.abs(now.logLikelihood)) break;
    }
    unknowns = moved;
    now = next;
  }
  if (!(residual <= tolerance)) {
    throw new PullproofError(
      'E_NOT_CONVERGED',
      `The fit to censored readings did not settle in ${iterations} steps (slope left ${residual.toExponential(1)}).`,
      {},
      'Check that the readings below the limit are not all on one line without scatter; fit fewer terms.',
    );
  }
  const sigma = 1 / unknowns[columns]!;
  const coefficients = Float64Array.from({ length: columns }, (_, k) => (unknowns[k]! * sigma * valueScale) / columnScale[k]!);
  return {
    coefficients,
    sigma: sigma * valueScale,
    logLikelihood: now.logLikelihood - seen * Math.log(valueScale),
    covariance: covarianceOf(now.information, unknowns, columnScale, valueScale),
    iterations,
    residual,
    seen,
    censored: n - seen,
  };
}

/** A value that a censored fit gives, with its band; always model-based. */
export interface ModelEstimate {
  readonly value: number;
  readonly low: number;
  readonly high: number;
  readonly level: number;
  readonly standing: 'model';
}

/**
 * The fitted mean at one row of the design, with the band of the mean.
 *
 * @param fit from {@link censoredRegression}
 * @param row one value a column
 * @param options `level`, default 0.95
 * @returns an estimate that rests on the model; say so wherever it is shown
 */
export function censoredMean(fit: CensoredFit, row: readonly number[], options: { readonly level?: number } = {}): ModelEstimate {
  const { level = 0.95 } = options;
  const size = fit.coefficients.length + 1;
  let value = 0;
  let variance = 0;
  for (let i = 0; i < row.length; i++) {
    value += row[i]! * fit.coefficients[i]!;
    for (let j = 0; j < row.length; j++) variance += row[i]! * row[j]! * fit.covariance[i * size + j]!;
  }
  const half = normalTwoSided(level) * Math.sqrt(variance);
  return { value, low: value - half, high: value + half, level, standing: 'model' };
}

interface Evaluation {
  readonly logLikelihood: number;
  readonly gradient: Float64Array;
  /** Minus the matrix of second derivatives. */
  readonly information: Float64Array;
}

/** ln L, its slope and its curvature in (γ, θ). */
function evaluate(x: readonly Float64Array[], y: Float64Array, bound: Int8Array, unknowns: Float64Array): Evaluation {
  const columns = x.length;
  const size = columns + 1;
  const theta = unknowns[columns]!;
  const gradient = new Float64Array(size);
  const information = new Float64Array(size * size);
  const row = new Float64Array(size);
  let logLikelihood = 0;
  for (let i = 0; i < y.length; i++) {
    let z = theta * y[i]!;
    for (let k = 0; k < columns; k++) {
      z -= unknowns[k]! * x[k]![i]!;
      row[k] = -x[k]![i]!;
    }
    row[columns] = y[i]!;
    let slope = -z;
    let curvature = 1;
    if (bound[i] === 0) {
      logLikelihood += Math.log(theta) - 0.5 * z * z - 0.9189385332046727;
      gradient[columns]! += 1 / theta;
      information[size * size - 1]! += 1 / (theta * theta);
    } else {
      const sign = bound[i]! > 0 ? -1 : 1;
      const mills = inverseMills(sign * z);
      logLikelihood += logNormalCdf(sign * z);
      slope = sign * mills;
      curvature = mills * (mills + sign * z);
    }
    for (let a = 0; a < size; a++) {
      gradient[a]! += slope * row[a]!;
      for (let b = 0; b < size; b++) information[a * size + b]! += curvature * row[a]! * row[b]!;
    }
  }
  return { logLikelihood, gradient, information };
}

/** Ordinary least squares on all readings as they stand. */
function startingPoint(x: readonly Float64Array[], y: Float64Array): Float64Array {
  const columns = x.length;
  const normal = new Float64Array(columns * columns);
  const right = new Float64Array(columns);
  for (let a = 0; a < columns; a++) {
    for (let i = 0; i < y.length; i++) right[a]! += x[a]![i]! * y[i]!;
    for (let b = 0; b < columns; b++) for (let i = 0; i < y.length; i++) normal[a * columns + b]! += x[a]![i]! * x[b]![i]!;
  }
  const factor = cholesky(normal, columns);
  if (factor === null) throw singular();
  const beta = choleskySolve(factor, columns, right);
  let squares = 0;
  for (let i = 0; i < y.length; i++) {
    let left = y[i]!;
    for (let k = 0; k < columns; k++) left -= beta[k]! * x[k]![i]!;
    squares += left * left;
  }
  const theta = 1 / Math.max(1e-9, Math.sqrt(squares / y.length));
  return Float64Array.from([...beta.map((value) => value * theta), theta]);
}

/** Covariance of (b, ln s) in the units given: J C Jᵀ with C the inverse information in (γ, θ). */
function covarianceOf(information: Float64Array, unknowns: Float64Array, columnScale: readonly number[], valueScale: number): Float64Array {
  const size = unknowns.length;
  const columns = size - 1;
  const factor = cholesky(information, size);
  if (factor === null) throw singular();
  const inverse = choleskyInverse(factor, size);
  const theta = unknowns[columns]!;
  const jacobian = new Float64Array(size * size);
  for (let k = 0; k < columns; k++) {
    const scale = valueScale / columnScale[k]!;
    jacobian[k * size + k] = scale / theta;
    jacobian[k * size + columns] = (-scale * unknowns[k]!) / (theta * theta);
  }
  jacobian[size * size - 1] = -1 / theta;
  const out = new Float64Array(size * size);
  for (let a = 0; a < size; a++) {
    for (let b = 0; b < size; b++) {
      let sum = 0;
      for (let i = 0; i < size; i++)
        for (let j = 0; j < size; j++) sum += jacobian[a * size + i]! * inverse[i * size + j]! * jacobian[b * size + j]!;
      out[a * size + b] = sum;
    }
  }
  return out;
}

function singular(): PullproofError {
  return new PullproofError('E_SINGULAR', 'Two columns of the fit say the same thing.', {}, 'Leave one of them out.');
}
