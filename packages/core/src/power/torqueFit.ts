import {
  type BSplineBasis,
  bSplineAt,
  bSplineBasis,
  bSplineValues,
  cholesky,
  choleskyInverse,
  choleskyLogDeterminant,
  choleskySolve,
  differencePenalty,
} from '../maths/index.js';
import { integrateSpan, type MotionPull } from './motion.js';

/** Settings of the fit, chosen on the accuracy study (docs/accuracy.md). */
export interface TorqueFitOptions {
  /** Distance between knots of the common curve, rpm. */
  readonly knotRpm?: number;
  /** Distance between knots of a pull's own deviation, rpm. */
  readonly ownKnotRpm?: number;
  /** Order of the penalised differences. */
  readonly penaltyOrder?: number;
}

/** Variances that the data choose, as standard deviations of the logarithm of torque. */
export interface Smoothness {
  /** Of the differences of the common curve's coefficients. */
  readonly roughness: number;
  /** Of a pull's own deviation in shape. */
  readonly ownShape: number;
}

/** Outcome of the fit for one setup. */
export interface TorqueFit {
  readonly basis: BSplineBasis;
  readonly ownBasis: BSplineBasis;
  /** Every parameter: common coefficients, then a pull's log scale, own coefficients, channel delays and start speeds. */
  readonly parameters: Float64Array;
  readonly layout: ParameterLayout;
  /** Noise covariance of the parameters, row-major. */
  readonly covariance: Float64Array;
  readonly smoothness: Smoothness;
  /** Residual standard deviation of each channel, rpm, and the factor by which its run of like residuals inflates the variance. */
  readonly channelNoise: readonly { readonly noiseRpm: number; readonly inflation: number; readonly readings: number }[];
  readonly iterations: number;
  /** Largest change of log torque in the last iteration. */
  readonly lastChange: number;
  readonly converged: boolean;
}

/** Where each parameter stands. */
export interface ParameterLayout {
  readonly size: number;
  readonly common: number;
  readonly pulls: readonly { readonly scale: number; readonly own: number; readonly delays: number; readonly starts: number }[];
}

const scalePrior = 0.3;
const delayPriorS = 0.3;

function layoutOf(pulls: readonly MotionPull[], commonSize: number, ownSize: number): ParameterLayout {
  let next = commonSize;
  const places = pulls.map((pull) => {
    const scale = next;
    const own = scale + 1;
    const delays = own + ownSize;
    const starts = delays + Math.max(0, pull.spans[0]!.length - 1);
    next = starts + pull.spans.length;
    return { scale, own, delays, starts };
  });
  return { size: next, common: 0, pulls: places };
}

interface Linearised {
  readonly normal: Float64Array;
  readonly right: Float64Array;
  /** Weighted sum of squares of the pseudo-data. */
  readonly total: number;
}

interface WorkingSetup {
  readonly pulls: readonly MotionPull[];
  readonly basis: BSplineBasis;
  readonly ownBasis: BSplineBasis;
  readonly layout: ParameterLayout;
  parameters: Float64Array;
  noiseRpm: number[];
  inflation: number[];
  readings: number[];
  linear: Linearised | null;
  covariance: Float64Array;
  lastChange: number;
}

/**
 * Fits wheel torque, referred to engine speed, to the recorded speeds of all pulls of each setup at once (output-error method):
 * the torque curve is integrated through the equation of motion and compared with each reading at its own time stamp.
 * The logarithm of torque is a penalised cubic spline common to a setup's pulls; each pull has a factor, a smooth deviation of
 * shape, its start speed and a delay of each channel after the first. How smooth the curve is, and how much pulls differ in
 * shape, is chosen by restricted maximum likelihood over all setups together.
 *
 * @param setups For each setup its pulls (at least one in all), with readings in one gear.
 * @param start For each setup a first guess of wheel torque (N·m) at an engine speed (rpm).
 * @returns One fit a setup.
 *
 * Validity: one gear a pull, no shift or cut inside a span, wind and grade constant along a pull.
 * Source: output error: Jategaonkar, Flight Vehicle System Identification (2006), ch. 4; P-splines: Eilers & Marx,
 * Statist. Sci. 11 (1996) 89; smoothness by REML: Ruppert, Wand & Carroll, Semiparametric Regression (2003), ch. 4.
 */
export function fitTorque(
  setups: readonly (readonly MotionPull[])[],
  start: readonly ((rpm: number) => number)[],
  options: TorqueFitOptions = {},
): TorqueFit[] {
  const { knotRpm = 200, ownKnotRpm = 800, penaltyOrder = 2 } = options;
  const working = setups.map((pulls, index) => beginSetup(pulls, start[index]!, knotRpm, ownKnotRpm));
  let smoothness: Smoothness = { roughness: 0.02, ownShape: 0.003 };
  let iterations = 0;
  let converged = false;
  const penalties = working.map((setup) => scaledPenalty(setup.basis, penaltyOrder));
  for (; iterations < 30 && !converged; iterations++) {
    for (const setup of working) setup.linear = linearise(setup);
    if (iterations >= 1 && iterations <= 8)
      smoothness = chooseSmoothness(working, penalties, penaltyOrder, smoothness, iterations <= 2 ? 1 : 0.25);
    let change = 0;
    working.forEach((setup, index) => {
      solveSetup(setup, penalties[index]!, smoothness, iterations < 2 ? 0.5 : 0);
      change = Math.max(change, setup.lastChange);
    });
    converged = iterations > 4 && change < 2e-5;
  }
  return working.map((setup) => ({
    basis: setup.basis,
    ownBasis: setup.ownBasis,
    parameters: setup.parameters,
    layout: setup.layout,
    covariance: setup.covariance,
    smoothness,
    channelNoise: setup.noiseRpm.map((noiseRpm, c) => ({ noiseRpm, inflation: setup.inflation[c]!, readings: setup.readings[c]! })),
    iterations,
    lastChange: setup.lastChange,
    converged,
  }));
}

function beginSetup(pulls: readonly MotionPull[], start: (rpm: number) => number, knotRpm: number, ownKnotRpm: number): WorkingSetup {
  let low = Number.POSITIVE_INFINITY;
  let high = Number.NEGATIVE_INFINITY;
  for (const pull of pulls) {
    for (const span of pull.spans) {
      for (const readings of span) {
        for (const value of readings.engineSpeedRpm) {
          const rpm = pull.coupling === undefined ? value : pull.coupling.engineRpm(value);
          low = Math.min(low, rpm);
          high = Math.max(high, rpm);
        }
      }
    }
  }
  const range = high - low;
  const basis = bSplineBasis(low, high, Math.min(knotRpm, range / 5));
  const ownBasis = bSplineBasis(low, high, Math.min(ownKnotRpm, range / 2));
  const layout = layoutOf(pulls, basis.size, ownBasis.size);
  const parameters = new Float64Array(layout.size);
  // A cubic B-spline with coefficients equal to the function at the knots' centres is close enough to start from.
  for (let j = 0; j < basis.size; j++) {
    const at = Math.min(Math.max(basis.from + (j - 1) * basis.step, low), high);
    parameters[j] = Math.log(Math.max(start(at), 1));
  }
  const channels = Math.max(...pulls.map((pull) => pull.spans[0]!.length));
  pulls.forEach((pull, p) => {
    pull.spans.forEach((span, s) => {
      parameters[layout.pulls[p]!.starts + s] = startSpeed(span);
    });
  });
  const noiseRpm = Array.from({ length: channels }, (_, c) => Math.max(1e-3, ...pulls.map((pull) => pull.spans[0]![c]?.noiseRpm ?? 0)));
  return {
    pulls,
    basis,
    ownBasis,
    layout,
    parameters,
    noiseRpm,
    inflation: noiseRpm.map(() => 1),
    readings: noiseRpm.map(() => 0),
    linear: null,
    covariance: new Float64Array(0),
    lastChange: Number.POSITIVE_INFINITY,
  };
}

/** Straight line through the first readings, taken back to the start of the span. */
function startSpeed(span: readonly SpeedReadingsLike[]): number {
  const from = spanStart(span);
  const first = span.find((readings) => readings.timeS.length > 0)!;
  const count = Math.min(first.timeS.length, 6);
  let st = 0;
  let sn = 0;
  let stt = 0;
  let stn = 0;
  for (let i = 0; i < count; i++) {
    const t = first.timeS[i]! - from;
    const n = first.engineSpeedRpm[i]!;
    st += t;
    sn += n;
    stt += t * t;
    stn += t * n;
  }
  const spread = count * stt - st * st;
  return spread > 0 ? (sn * stt - st * stn) / spread : sn / count;
}

interface SpeedReadingsLike {
  readonly timeS: Float64Array;
  readonly engineSpeedRpm: Float64Array;
}

function spanStart(span: readonly SpeedReadingsLike[]): number {
  return Math.min(...span.filter((readings) => readings.timeS.length > 0).map((readings) => readings.timeS[0]!));
}

function spanEnd(span: readonly SpeedReadingsLike[]): number {
  return Math.max(...span.filter((readings) => readings.timeS.length > 0).map((readings) => readings.timeS[readings.timeS.length - 1]!));
}

/** Linearises every reading around the present parameters, weighs it, and updates the channels' noise from the residuals. */
function linearise(setup: WorkingSetup): Linearised {
  const { pulls, basis, ownBasis, layout, parameters } = setup;
  const size = layout.size;
  const normal = new Float64Array(size * size);
  const right = new Float64Array(size);
  let total = 0;
  const channels = setup.noiseRpm.length;
  const residuals: number[][] = Array.from({ length: channels }, () => []);
  const lagProducts = new Float64Array(channels);
  const squares = new Float64Array(channels);
  const counts = new Float64Array(channels);
  const columns: number[] = [];
  const row = new Float64Array(size);
  pulls.forEach((pull, p) => {
    const place = layout.pulls[p]!;
    const model = {
      common: basis,
      commonCoefficients: parameters.subarray(0, basis.size),
      own: ownBasis,
      ownCoefficients: parameters.subarray(place.own, place.own + ownBasis.size),
      logScale: parameters[place.scale]!,
    };
    pull.spans.forEach((span, s) => {
      const fromTimeS = spanStart(span);
      const toTimeS = spanEnd(span);
      const path = integrateSpan(pull, model, {
        startRpm: parameters[place.starts + s]!,
        fromTimeS,
        toTimeS,
        stepS: Math.min(0.08, Math.max(0.02, (toTimeS - fromTimeS) / 60)),
      });
      const h = path.timeS[1]! - path.timeS[0]!;
      const last = path.timeS.length - 1;
      span.forEach((readings, c) => {
        const delayAt = c === 0 ? -1 : place.delays + c - 1;
        const delayS = c === 0 ? 0 : parameters[delayAt]!;
        const variance = setup.noiseRpm[c]! ** 2 * setup.inflation[c]!;
        const sigma = setup.noiseRpm[c]!;
        let previous = Number.NaN;
        for (let i = 0; i < readings.timeS.length; i++) {
          const t = readings.timeS[i]! - delayS;
          const node = Math.min(Math.max(Math.floor((t - fromTimeS) / h), 0), last - 1);
          const u = (t - path.timeS[node]!) / h;
          const predicted = hermite(path.rpm[node]!, path.rpm[node + 1]!, h * path.rate[node]!, h * path.rate[node + 1]!, u);
          const rate = path.rate[node]! * (1 - u) + path.rate[node + 1]! * u;
          const residual = readings.engineSpeedRpm[i]! - predicted;
          residuals[c]!.push(residual);
          if (!Number.isNaN(previous)) lagProducts[c] = lagProducts[c]! + previous * residual;
          squares[c] = squares[c]! + residual * residual;
          counts[c] = counts[c]! + 1;
          previous = residual;
          const bend = Math.abs(residual) > 3 * sigma ? (3 * sigma) / Math.abs(residual) : 1;
          const weight = bend / variance;
          // Row of the Jacobian: only touched columns are listed.
          columns.length = 0;
          const growth = path.growth[node]! * (1 - u) + path.growth[node + 1]! * u;
          const add = (column: number, value: number): void => {
            if (value === 0) return;
            row[column] = value;
            columns.push(column);
          };
          for (let j = 0; j < basis.size; j++) {
            const a = path.common[node * basis.size + j]!;
            const b = path.common[(node + 1) * basis.size + j]!;
            add(j, growth * (a + u * (b - a)));
          }
          add(place.scale, growth * (path.scale[node]! * (1 - u) + path.scale[node + 1]! * u));
          for (let j = 0; j < ownBasis.size; j++) {
            const a = path.own[node * ownBasis.size + j]!;
            const b = path.own[(node + 1) * ownBasis.size + j]!;
            add(place.own + j, growth * (a + u * (b - a)));
          }
          if (delayAt >= 0) add(delayAt, -rate);
          add(place.starts + s, growth);
          let pseudo = residual;
          for (const column of columns) pseudo += row[column]! * parameters[column]!;
          for (const column of columns) {
            const weighted = weight * row[column]!;
            right[column] = right[column]! + weighted * pseudo;
            const base = column * size;
            for (const other of columns) if (other <= column) normal[base + other] = normal[base + other]! + weighted * row[other]!;
          }
          total += weight * pseudo * pseudo;
        }
      });
    });
  });
  for (let i = 0; i < size; i++) for (let j = 0; j < i; j++) normal[j * size + i] = normal[i * size + j]!;
  // Noise from the middle of the residuals, so that a few wild readings do not set it.
  for (let c = 0; c < channels; c++) {
    setup.readings[c] = counts[c]!;
    if (counts[c]! < 8) continue;
    const freedom = Math.max(0.3, 1 - (setup.basis.size / 2 + 2 * pulls.length) / sum(counts));
    const sorted = residuals[c]!.map((value) => Math.abs(value)).sort((x, y) => x - y);
    const middle = sorted[Math.floor(sorted.length * 0.683)]!;
    let clipped = 0;
    for (const value of sorted) clipped += Math.min(value, 3 * middle) ** 2;
    const noise = Math.sqrt(clipped / counts[c]! / freedom);
    const floor = 1e-3;
    setup.noiseRpm[c] = Math.max(noise, floor);
    const correlation = Math.min(Math.max(lagProducts[c]! / squares[c]!, 0), 0.9);
    setup.inflation[c] = correlation > 2 / Math.sqrt(counts[c]!) ? (1 + correlation) / (1 - correlation) : 1;
  }
  return { normal, right, total };
}

function sum(values: Float64Array): number {
  let total = 0;
  for (const value of values) total += value;
  return total;
}

function hermite(y0: number, y1: number, d0: number, d1: number, u: number): number {
  const u2 = u * u;
  const u3 = u2 * u;
  return (2 * u3 - 3 * u2 + 1) * y0 + (u3 - 2 * u2 + u) * d0 + (3 * u2 - 2 * u3) * y1 + (u3 - u2) * d1;
}

/** Differences scaled to one knot distance of 200 rpm, so that one roughness serves any knot distance. */
function scaledPenalty(basis: BSplineBasis, order: number): Float64Array {
  const scale = (200 / basis.step) ** (2 * order - 1);
  return differencePenalty(basis.size, order).map((value) => value * scale);
}

/** Adds the prior precision of the random parts to the normal matrix. */
function penalised(setup: WorkingSetup, penalty: Float64Array, smoothness: Smoothness): Float64Array {
  const { layout, basis, ownBasis } = setup;
  const size = layout.size;
  const matrix = Float64Array.from(setup.linear!.normal);
  const precision = 1 / smoothness.roughness ** 2;
  for (let i = 0; i < basis.size; i++) {
    for (let j = 0; j < basis.size; j++) matrix[i * size + j] = matrix[i * size + j]! + precision * penalty[i * basis.size + j]!;
  }
  for (const place of layout.pulls) {
    const add = (at: number, value: number): void => {
      matrix[at * size + at] = matrix[at * size + at]! + value;
    };
    add(place.scale, 1 / scalePrior ** 2);
    for (let k = 0; k < ownBasis.size; k++) add(place.own + k, 1 / smoothness.ownShape ** 2);
    for (let k = place.delays; k < place.starts; k++) add(k, 1 / delayPriorS ** 2);
  }
  return matrix;
}

/** −2 × restricted log-likelihood of the linearised problem, up to a constant. */
function restrictedDeviance(setup: WorkingSetup, penalty: Float64Array, order: number, smoothness: Smoothness): number {
  const size = setup.layout.size;
  const l = cholesky(penalised(setup, penalty, smoothness), size);
  if (l === null) return Number.POSITIVE_INFINITY;
  const solution = choleskySolve(l, size, setup.linear!.right);
  let explained = 0;
  for (let i = 0; i < size; i++) explained += solution[i]! * setup.linear!.right[i]!;
  const logPrior =
    -2 * (setup.basis.size - order) * Math.log(smoothness.roughness) -
    2 * setup.pulls.length * setup.ownBasis.size * Math.log(smoothness.ownShape);
  return choleskyLogDeterminant(l, size) - logPrior + setup.linear!.total - explained;
}

/** Coordinate search on a logarithmic grid; smooth priors keep both away from zero and infinity. */
function chooseSmoothness(
  working: readonly WorkingSetup[],
  penalties: readonly Float64Array[],
  order: number,
  from: Smoothness,
  firstStep: number,
): Smoothness {
  const cost = (logRoughness: number, logShape: number): number => {
    const candidate = { roughness: Math.exp(logRoughness), ownShape: Math.exp(logShape) };
    let total = 0;
    working.forEach((setup, index) => {
      total += restrictedDeviance(setup, penalties[index]!, order, candidate);
    });
    // Weak priors, one observation's worth: roughness about 1 %, own shape about 0.3 %.
    return total + ((logRoughness - Math.log(0.01)) / 2) ** 2 + ((logShape - Math.log(0.003)) / 1.2) ** 2;
  };
  let roughness = Math.log(from.roughness);
  let shape = Math.log(from.ownShape);
  let best = cost(roughness, shape);
  for (let step = firstStep; step > 0.1; step /= 2) {
    for (let moved = true; moved; ) {
      moved = false;
      for (const [dr, ds] of [
        [step, 0],
        [-step, 0],
        [0, step],
        [0, -step],
      ] as const) {
        const value = cost(roughness + dr, shape + ds);
        if (value < best - 1e-6) {
          best = value;
          roughness += dr;
          shape += ds;
          moved = true;
        }
      }
    }
  }
  return { roughness: Math.exp(roughness), ownShape: Math.exp(shape) };
}

function solveSetup(setup: WorkingSetup, penalty: Float64Array, smoothness: Smoothness, damping: number): void {
  const size = setup.layout.size;
  const matrix = penalised(setup, penalty, smoothness);
  const l = cholesky(matrix, size);
  if (l === null) throw new Error('torque fit: the normal matrix is not positive definite');
  const solution = choleskySolve(l, size, setup.linear!.right);
  let change = 0;
  for (let i = 0; i < size; i++) {
    const step = (solution[i]! - setup.parameters[i]!) * (1 - damping);
    if (i < setup.basis.size) change = Math.max(change, Math.abs(step));
    const limit = i < setup.basis.size ? 0.5 : Number.POSITIVE_INFINITY;
    setup.parameters[i] = setup.parameters[i]! + Math.min(Math.max(step, -limit), limit);
  }
  setup.lastChange = change;
  setup.covariance = choleskyInverse(l, size);
}

/** Linear functional of the parameters that gives the mean over the pulls of log torque at `rpm`. */
export function meanLogTorqueRow(fit: TorqueFit, rpm: number): Float64Array {
  const row = new Float64Array(fit.layout.size);
  const values = new Float64Array(4);
  const first = bSplineValues(fit.basis, rpm, values);
  for (let k = 0; k < 4; k++) row[first + k] = values[k]!;
  const share = 1 / fit.layout.pulls.length;
  const firstOwn = bSplineValues(fit.ownBasis, rpm, values);
  for (const place of fit.layout.pulls) {
    row[place.scale] = share;
    for (let k = 0; k < 4; k++) row[place.own + firstOwn + k] = share * values[k]!;
  }
  return row;
}

/** Log torque of one pull at `rpm`. */
export function pullLogTorque(fit: TorqueFit, pull: number, rpm: number): number {
  const place = fit.layout.pulls[pull]!;
  return (
    bSplineAt(fit.basis, fit.parameters, rpm) +
    fit.parameters[place.scale]! +
    bSplineAt(fit.ownBasis, fit.parameters.subarray(place.own, place.own + fit.ownBasis.size), rpm)
  );
}
