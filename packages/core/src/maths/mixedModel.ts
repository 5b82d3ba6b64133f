import { cholesky, choleskyInverse, choleskyLogDeterminant } from './cholesky.js';

/** A variance assumed before any is seen, counted as if seen `worth` degrees of freedom often. */
export interface AssumedVariance {
  readonly variance: number;
  readonly worth: number;
}

/** A linear mixed model: y = X β + Z u + e, groups u ~ N(0, τ²), e ~ N(0, σ² I + K). */
export interface MixedModel {
  /** Observations. */
  readonly y: readonly number[];
  /** Fixed part, a row for each observation. */
  readonly x: readonly (readonly number[])[];
  /** Group of each observation. */
  readonly group: readonly string[];
  /** What is assumed of a variance beforehand, and as if seen with how many degrees of freedom; none when left out. */
  readonly prior?: { readonly between?: AssumedVariance; readonly within?: AssumedVariance };
  /** Covariance of the observations that is known beforehand, row-major n × n: noise of a reading, inputs that several share. None when left out. */
  readonly known?: Float64Array;
}

/** A fitted mixed model. */
export interface MixedFit {
  readonly beta: readonly number[];
  /** Covariance of `beta`, row-major p × p. */
  readonly covariance: Float64Array;
  /** Variance between groups, τ², and within, σ². */
  readonly betweenVariance: number;
  readonly withinVariance: number;
  /** Asymptotic variances of the two, from the expected information. */
  readonly betweenVarianceVariance: number;
  readonly withinVarianceVariance: number;
  readonly varianceCovariance: number;
  /** Best prediction of each group's own part, by name, and its standard error. */
  readonly groups: ReadonlyMap<string, { readonly value: number; readonly spread: number }>;
  /** −2 × the restricted log likelihood, constants as usual. */
  readonly criterion: number;
  readonly iterations: number;
  /** Largest step of the last iteration, as a share of the variances. */
  readonly residual: number;
}

const maxIterations = 200;

/**
 * Fits a mixed model by restricted maximum likelihood: Fisher scoring on τ² and σ², both held at or above nothing.
 *
 * Score: −½ tr(P Vᵢ) + ½ yᵀP Vᵢ P y; information ½ tr(P Vᵢ P Vⱼ); P = V⁻¹ − V⁻¹X (XᵀV⁻¹X)⁻¹ XᵀV⁻¹.
 *
 * @param model observations, fixed part and groups; more observations than columns of the fixed part, columns independent
 * @returns the fit; null where the fixed part leaves no degree of freedom or its columns depend on each other
 *
 * Source: [PATTERSON1971]; [HARVILLE1977]. Uncertainty: against lme4 on published data, 1e-6 of each number.
 */
export function fitMixedModel(model: MixedModel): MixedFit | null {
  const { y, x, group } = model;
  const n = y.length;
  const p = x[0]?.length ?? 0;
  if (n <= p || p === 0) return null;
  const names = [...new Set(group)];
  const places = placesOf(group);
  const total = variance(y);
  let between = model.prior?.between?.variance ?? total / 2;
  let within = model.prior?.within?.variance ?? total / 2;
  let state = restricted(model, places, between, within);
  if (state === null) return null;
  let residual = Number.POSITIVE_INFINITY;
  let iterations = 0;
  while (iterations < maxIterations && residual > 1e-12) {
    iterations++;
    const { score, information } = state;
    const free = [between > 0 || score[0]! > 0, within > 0 || score[1]! > 0];
    const step = solveTwo(information, score, free);
    let scale = 1;
    let next: ReturnType<typeof restricted> = null;
    let tried: [number, number] = [between, within];
    for (; scale > 1e-9; scale /= 2) {
      tried = [Math.max(0, between + scale * step[0]!), Math.max(0, within + scale * step[1]!)];
      next = tried[0] + tried[1] > 0 || model.known !== undefined ? restricted(model, places, tried[0], tried[1]) : null;
      if (next !== null && next.criterion <= state.criterion + 1e-13 * Math.abs(state.criterion)) break;
      next = null;
    }
    if (next === null) break;
    residual = Math.max(Math.abs(tried[0] - between), Math.abs(tried[1] - within)) / Math.max(total, 1e-300);
    [between, within] = tried;
    state = next;
  }
  const inverse = inverseTwo(state.information);
  return {
    beta: Array.from(state.beta),
    covariance: state.covariance,
    betweenVariance: between,
    withinVariance: within,
    betweenVarianceVariance: inverse[0]!,
    withinVarianceVariance: inverse[3]!,
    varianceCovariance: inverse[1]!,
    groups: predicted(model, names, places, between, state),
    criterion: state.criterion,
    iterations,
    residual,
  };
}

interface Restricted {
  readonly beta: Float64Array;
  readonly covariance: Float64Array;
  readonly projection: Float64Array;
  readonly projectedY: Float64Array;
  readonly score: readonly [number, number];
  readonly information: readonly [number, number, number, number];
  readonly criterion: number;
}

/** Likelihood, its slope and curvature at given variances; null where a matrix is not positive definite. */
function restricted({ y, x, known, prior }: MixedModel, places: readonly number[], between: number, within: number): Restricted | null {
  const n = y.length;
  const p = x[0]!.length;
  const v = new Float64Array(n * n);
  for (let i = 0; i < n; i++) {
    for (let j = 0; j < n; j++) {
      v[i * n + j] = (known?.[i * n + j] ?? 0) + (places[i] === places[j] ? between : 0) + (i === j ? within : 0);
    }
  }
  const factor = cholesky(v, n);
  if (factor === null) return null;
  const vInverse = choleskyInverse(factor, n);
  const vx = new Float64Array(n * p);
  for (let i = 0; i < n; i++)
    for (let c = 0; c < p; c++) {
      let sum = 0;
      for (let j = 0; j < n; j++) sum += vInverse[i * n + j]! * x[j]![c]!;
      vx[i * p + c] = sum;
    }
  const xvx = new Float64Array(p * p);
  for (let a = 0; a < p; a++)
    for (let b = 0; b < p; b++) {
      let sum = 0;
      for (let i = 0; i < n; i++) sum += x[i]![a]! * vx[i * p + b]!;
      xvx[a * p + b] = sum;
    }
  const xFactor = cholesky(xvx, p);
  if (xFactor === null) return null;
  const covariance = choleskyInverse(xFactor, p);
  const projection = new Float64Array(n * n);
  for (let i = 0; i < n; i++)
    for (let j = 0; j < n; j++) {
      let sum = 0;
      for (let a = 0; a < p; a++) for (let b = 0; b < p; b++) sum += vx[i * p + a]! * covariance[a * p + b]! * vx[j * p + b]!;
      projection[i * n + j] = vInverse[i * n + j]! - sum;
    }
  const projectedY = new Float64Array(n);
  for (let i = 0; i < n; i++) for (let j = 0; j < n; j++) projectedY[i] = projectedY[i]! + projection[i * n + j]! * y[j]!;
  const beta = new Float64Array(p);
  for (let a = 0; a < p; a++)
    for (let b = 0; b < p; b++) for (let i = 0; i < n; i++) beta[a] = beta[a]! + covariance[a * p + b]! * vx[i * p + b]! * y[i]!;
  let quadratic = 0;
  const bySame = { trace: 0, form: 0, square: 0 };
  const byOwn = { trace: 0, form: 0, square: 0 };
  let mixed = 0;
  // P Z Zᵀ, for the traces of the information.
  const pz = new Float64Array(n * n);
  for (let i = 0; i < n; i++)
    for (let j = 0; j < n; j++) {
      let sum = 0;
      for (let k = 0; k < n; k++) if (places[k] === places[j]) sum += projection[i * n + k]!;
      pz[i * n + j] = sum;
    }
  for (let i = 0; i < n; i++) {
    quadratic += y[i]! * projectedY[i]!;
    bySame.trace += pz[i * n + i]!;
    byOwn.trace += projection[i * n + i]!;
    byOwn.form += projectedY[i]! ** 2;
    for (let j = 0; j < n; j++) {
      if (places[i] === places[j]) bySame.form += projectedY[i]! * projectedY[j]!;
      bySame.square += pz[i * n + j]! * pz[j * n + i]!;
      byOwn.square += projection[i * n + j]! * projection[j * n + i]!;
      mixed += pz[i * n + j]! * projection[j * n + i]!;
    }
  }
  const [same, own] = [assumedPart(prior?.between, between), assumedPart(prior?.within, within)];
  const criterion = choleskyLogDeterminant(factor, n) + choleskyLogDeterminant(xFactor, p) + quadratic + (n - p) * Math.log(2 * Math.PI);
  return {
    beta,
    covariance,
    projection,
    projectedY,
    score: [(bySame.form - bySame.trace) / 2 + same.score, (byOwn.form - byOwn.trace) / 2 + own.score],
    information: [bySame.square / 2 + same.information, mixed / 2, mixed / 2, byOwn.square / 2 + own.information],
    criterion: criterion + same.criterion + own.criterion,
  };
}

/** What a variance assumed beforehand adds: that of a scaled inverse chi-squared density. Source: [GELMAN2013], sec. 2.6. */
function assumedPart(assumed: AssumedVariance | undefined, value: number): { score: number; information: number; criterion: number } {
  if (assumed === undefined) return { score: 0, information: 0, criterion: 0 };
  const { variance: expected, worth } = assumed;
  if (!(value > 0)) return { score: Number.POSITIVE_INFINITY, information: 0, criterion: Number.POSITIVE_INFINITY };
  return {
    score: (worth / 2) * (expected / value ** 2 - 1 / value),
    information: worth / (2 * value ** 2),
    criterion: worth * (Math.log(value) + expected / value),
  };
}

/**
 * A weighted sum of the fixed part with its standard error and the degrees of freedom of that error.
 *
 * Degrees 2 v² / Var(v), Var(v) from the slopes of v along both variances and their asymptotic covariance.
 *
 * @param weights one for each column of the fixed part
 * @returns value, standard error, degrees of freedom, at least 1
 *
 * Source: [SATTERTHWAITE1946]; [FAI1996].
 */
export function estimateOf(
  model: MixedModel,
  fit: MixedFit,
  weights: readonly number[],
): { value: number; spread: number; degrees: number } {
  const places = placesOf(model.group);
  const varianceAt = (between: number, within: number): number => {
    const covariance =
      between === fit.betweenVariance && within === fit.withinVariance
        ? fit.covariance
        : restricted(model, places, between, within)!.covariance;
    return weights.reduce((sum, a, i) => sum + a * weights.reduce((inner, b, j) => inner + b * covariance[i * weights.length + j]!, 0), 0);
  };
  const { betweenVariance: between, withinVariance: within } = fit;
  const variance = varianceAt(between, within);
  const step = 1e-4 * (between + within);
  const slope = (ahead: number, behind: number, width: number): number => (ahead - behind) / width;
  const byBetween = slope(
    varianceAt(between + step, within),
    varianceAt(Math.max(0, between - step), within),
    step + Math.min(step, between),
  );
  const byWithin = slope(
    varianceAt(between, within + step),
    varianceAt(between, Math.max(step / 100, within - step)),
    step + Math.min(step, within - step / 100),
  );
  const ofVariance =
    byBetween ** 2 * fit.betweenVarianceVariance +
    byWithin ** 2 * fit.withinVarianceVariance +
    2 * byBetween * byWithin * fit.varianceCovariance;
  const degrees = ofVariance > 0 && Number.isFinite(ofVariance) ? (2 * variance ** 2) / ofVariance : Number.POSITIVE_INFINITY;
  return { value: weights.reduce((sum, w, i) => sum + w * fit.beta[i]!, 0), spread: Math.sqrt(variance), degrees: Math.max(1, degrees) };
}

function placesOf(group: readonly string[]): number[] {
  const names = [...new Set(group)];
  return group.map((name) => names.indexOf(name));
}

function predicted(
  { y }: MixedModel,
  names: readonly string[],
  places: readonly number[],
  between: number,
  { projection, projectedY }: Restricted,
): Map<string, { value: number; spread: number }> {
  const n = y.length;
  return new Map(
    names.map((name, g) => {
      let value = 0;
      let explained = 0;
      for (let i = 0; i < n; i++) {
        if (places[i] !== g) continue;
        value += between * projectedY[i]!;
        for (let j = 0; j < n; j++) if (places[j] === g) explained += projection[i * n + j]!;
      }
      return [name, { value, spread: Math.sqrt(Math.max(0, between - between ** 2 * explained)) }];
    }),
  );
}

function variance(values: readonly number[]): number {
  const mean = values.reduce((sum, value) => sum + value, 0) / values.length;
  return values.reduce((sum, value) => sum + (value - mean) ** 2, 0) / Math.max(1, values.length - 1);
}

/** Step of two unknowns, of which one may stand at its bound. */
function solveTwo(
  matrix: readonly [number, number, number, number],
  right: readonly [number, number],
  free: readonly boolean[],
): [number, number] {
  const [a, , , d] = matrix;
  if (!free[0]) return [0, d > 0 ? right[1] / d : 0];
  if (!free[1]) return [a > 0 ? right[0] / a : 0, 0];
  const inverse = inverseTwo(matrix);
  if (!Number.isFinite(inverse[0]!)) return [right[0] / Math.max(a, 1e-300), 0];
  return [inverse[0]! * right[0] + inverse[1]! * right[1], inverse[2]! * right[0] + inverse[3]! * right[1]];
}

function inverseTwo([a, b, c, d]: readonly [number, number, number, number]): [number, number, number, number] {
  const determinant = a * d - b * c;
  if (!(determinant > 1e-12 * a * d)) return [Number.POSITIVE_INFINITY, 0, 0, Number.POSITIVE_INFINITY];
  return [d / determinant, -b / determinant, -c / determinant, a / determinant];
}
