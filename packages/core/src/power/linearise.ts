import type { BSplineBasis } from '../maths/index.js';
import type { ArrowSystem, PullBlock } from './arrow.js';
import { integrateSpan, type MotionPull, spanEnd, spanStart, type Trajectory } from './motion.js';
import type { ParameterLayout } from './torqueParameters.js';

/** Residual standard deviation of each channel over a setup's pulls, and what follows from the order of the residuals. */
export interface ChannelNoise {
  readonly noiseRpm: Float64Array;
  /** Variance that the curve feels over that of single readings. */
  readonly inflation: Float64Array;
  readonly readings: Float64Array;
  /** Correlation between what pulls are off at the same engine speed: that of each channel, by its share of what the curve follows. */
  readonly repeated: number;
}

/** The model around which a setup's readings are made linear. */
export interface LinearisedAt {
  readonly pulls: readonly MotionPull[];
  readonly basis: BSplineBasis;
  readonly ownBasis: BSplineBasis;
  readonly layout: ParameterLayout;
  readonly parameters: Float64Array;
  readonly noise: ChannelNoise;
}

/** Residuals beyond this many standard deviations count as if they stood there. */
const bendAt = 3;

/**
 * Makes every reading of a setup linear in the parameters around the present ones, and weighs it by its channel's noise.
 *
 * Between nodes of the integration the derivatives run on straight lines, so that readings are first gathered at the nodes: the cost of
 * the matrix depends on the length of a pull, not on how often it was sampled.
 *
 * @param options `noise`: what to weigh by; left out, what the residuals themselves show.
 * @returns The normal equations, and the noise that they were weighed by.
 */
export function linearise(
  at: LinearisedAt,
  options: { readonly noise?: ChannelNoise | undefined } = {},
): { readonly system: ArrowSystem; readonly noise: ChannelNoise } {
  const { pulls, basis, layout, noise: before } = at;
  const spans = pulls.flatMap((pull, p) => pull.spans.map((_, s) => followSpan(at, p, s)));
  const noise = options.noise ?? noiseSeen(spans, before, basis.size / 2 + 2 * pulls.length);
  const system: ArrowSystem = {
    commonSize: basis.size,
    common: new Float64Array(basis.size * basis.size),
    commonRight: new Float64Array(basis.size),
    pulls: layout.pulls.map(({ size }): PullBlock => {
      return { size, border: new Float64Array(size * basis.size), own: new Float64Array(size * size), right: new Float64Array(size) };
    }),
    total: 0,
  };
  for (const span of spans) addSpan(at, system, span, noise);
  return { system, noise };
}

/** One span with its path by the present parameters, and what each channel's readings are off it. */
interface FollowedSpan {
  readonly pull: number;
  readonly span: number;
  readonly path: Trajectory;
  readonly residuals: readonly Float64Array[];
  readonly predictedRpm: readonly Float64Array[];
  /** Share of its channel's precision that each reading has. */
  readonly trust: readonly Float64Array[];
}

function followSpan({ pulls, basis, ownBasis, layout, parameters, noise }: LinearisedAt, p: number, s: number): FollowedSpan {
  const pull = pulls[p]!;
  const span = pull.spans[s]!;
  const place = layout.pulls[p]!;
  const fromTimeS = spanStart(span);
  const toTimeS = spanEnd(span);
  const path = integrateSpan(
    pull,
    {
      common: basis,
      commonCoefficients: parameters,
      own: ownBasis,
      ownCoefficients: parameters.subarray(place.own, place.own + ownBasis.size),
      logScale: parameters[place.scale]!,
    },
    {
      startRpm: parameters[place.starts + s]!,
      fromTimeS,
      toTimeS,
      stepS: Math.min(0.08, Math.max(0.02, (toTimeS - fromTimeS) / 60)),
    },
  );
  const predictedRpm = span.map(({ timeS }, c) => {
    const delayS = c === 0 ? 0 : parameters[place.delays + c - 1]!;
    const out = new Float64Array(timeS.length);
    for (let i = 0; i < timeS.length; i++) out[i] = speedAt(path, timeS[i]! - delayS);
    return out;
  });
  const residuals = span.map(({ engineSpeedRpm }, c) => engineSpeedRpm.map((value, i) => value - predictedRpm[c]![i]!));
  const delays = span.map((_, c) => (c === 0 ? 0 : parameters[place.delays + c - 1]!));
  const trust = span.map(({ timeS }, c) => {
    const lagS = delays[c]! - Math.min(...delays);
    return trustOf(timeS, { fromTimeS, lagS, rateRpmPerS: path.rate[0]!, noiseRpm: noise.noiseRpm[c]! });
  });
  return { pull: p, span: s, path, residuals, predictedRpm, trust };
}

/**
 * Precision that readings keep where a channel comes later than another. If a filter does it, not the line, its readings still remember
 * the steady driving before the pull: lag · rate · e^(−t/lag) at the time t in the span, taken as one more standard deviation.
 *
 * @returns Between 0 and 1 for each reading.
 */
function trustOf(
  timeS: Float64Array,
  lag: { readonly fromTimeS: number; readonly lagS: number; readonly rateRpmPerS: number; readonly noiseRpm: number },
): Float64Array {
  const { fromTimeS, lagS, rateRpmPerS, noiseRpm } = lag;
  const out = new Float64Array(timeS.length).fill(1);
  if (!(lagS > 0)) return out;
  const largest = (lagS * rateRpmPerS) / noiseRpm;
  return out.map((_, i) => 1 / (1 + (largest * Math.exp((fromTimeS - timeS[i]!) / lagS)) ** 2));
}

/** Node before a time on a path; times beyond the ends belong to the end steps. */
function nodeAt(path: Trajectory, timeS: number): number {
  const h = path.timeS[1]! - path.timeS[0]!;
  return Math.min(Math.max(Math.floor((timeS - path.timeS[0]!) / h), 0), path.timeS.length - 2);
}

function speedAt(path: Trajectory, timeS: number): number {
  const node = nodeAt(path, timeS);
  const h = path.timeS[node + 1]! - path.timeS[node]!;
  const u = (timeS - path.timeS[node]!) / h;
  return hermite(path.rpm[node]!, path.rpm[node + 1]!, h * path.rate[node]!, h * path.rate[node + 1]!, u);
}

function addSpan(
  at: LinearisedAt,
  system: ArrowSystem,
  { pull: p, span: s, path, residuals, trust }: FollowedSpan,
  noise: ChannelNoise,
): void {
  const { pulls, ownBasis, layout, parameters } = at;
  const place = layout.pulls[p]!;
  const block = system.pulls[p]!;
  const nodes = path.timeS.length;
  const h = path.timeS[1]! - path.timeS[0]!;
  const startAt = place.starts + s - place.scale;
  const startRpm = parameters[place.starts + s]!;
  // What the curve's parameters (common, scale, own) give at each node.
  const ownCoefficients = parameters.subarray(place.own, place.own + ownBasis.size);
  const along = alongNodes(path, parameters, place.scale, ownCoefficients, system.commonSize);
  const diagonal = new Float64Array(nodes);
  const beside = new Float64Array(nodes);
  const right = new Float64Array(nodes);
  const start = new Float64Array(nodes);
  for (const [c, { timeS }] of pulls[p]!.spans[s]!.entries()) {
    const delayed = c > 0;
    const delayS = delayed ? parameters[place.delays + c - 1]! : 0;
    const most = bendAt * noise.noiseRpm[c]!;
    const precision = 1 / (noise.noiseRpm[c]! ** 2 * noise.inflation[c]!);
    const delay = delayed ? new Float64Array(nodes) : null;
    let delayDelay = 0;
    let delayStart = 0;
    let delayRight = 0;
    let startStart = 0;
    let startRight = 0;
    const own = residuals[c]!;
    for (let i = 0; i < timeS.length; i++) {
      const t = timeS[i]! - delayS;
      const node = nodeAt(path, t);
      const u = (t - path.timeS[node]!) / h;
      const residual = own[i]!;
      const size = Math.abs(residual);
      const weight = trust[c]![i]! * (size > most ? (precision * most) / size : precision);
      const rate = path.rate[node]! * (1 - u) + path.rate[node + 1]! * u;
      const growth = path.growth[node]! * (1 - u) + path.growth[node + 1]! * u;
      const a = growth * (1 - u);
      const b = growth * u;
      const pseudo = residual + a * along[node]! + b * along[node + 1]! + growth * startRpm - (delayed ? rate * delayS : 0);
      const wa = weight * a;
      const wb = weight * b;
      diagonal[node] = diagonal[node]! + wa * a;
      diagonal[node + 1] = diagonal[node + 1]! + wb * b;
      beside[node] = beside[node]! + wa * b;
      right[node] = right[node]! + wa * pseudo;
      right[node + 1] = right[node + 1]! + wb * pseudo;
      start[node] = start[node]! + wa * growth;
      start[node + 1] = start[node + 1]! + wb * growth;
      startStart += weight * growth * growth;
      startRight += weight * growth * pseudo;
      if (delay !== null) {
        delay[node] = delay[node]! - wa * rate;
        delay[node + 1] = delay[node + 1]! - wb * rate;
        delayDelay += weight * rate * rate;
        delayStart -= weight * rate * growth;
        delayRight -= weight * rate * pseudo;
      }
      system.total += weight * pseudo * pseudo;
    }
    block.own[startAt * block.size + startAt] = block.own[startAt * block.size + startAt]! + startStart;
    block.right[startAt] = block.right[startAt]! + startRight;
    if (delay !== null) {
      const delayAt = place.delays + c - 1 - place.scale;
      block.own[delayAt * block.size + delayAt] = block.own[delayAt * block.size + delayAt]! + delayDelay;
      block.own[startAt * block.size + delayAt] = block.own[startAt * block.size + delayAt]! + delayStart;
      block.right[delayAt] = block.right[delayAt]! + delayRight;
      addColumn(path, system.commonSize, ownBasis.size, block, delayAt, delay);
    }
  }
  addColumn(path, system.commonSize, ownBasis.size, block, startAt, start);
  addCurve(path, system, ownBasis.size, block, { diagonal, beside, right });
}

/** Dot product of each node's row (common, scale, own) with the present parameters. */
function alongNodes(path: Trajectory, parameters: Float64Array, scaleAt: number, own: Float64Array, commonSize: number): Float64Array {
  return path.scale.map((scale, node) => {
    let sum = scale * parameters[scaleAt]!;
    for (let j = 0; j < commonSize; j++) sum += path.common[node * commonSize + j]! * parameters[j]!;
    for (let j = 0; j < own.length; j++) sum += path.own[node * own.length + j]! * own[j]!;
    return sum;
  });
}

/** Adds what the curve's parameters have in common with one more column, `weights` a node. */
function addColumn(path: Trajectory, commonSize: number, ownSize: number, block: PullBlock, column: number, weights: Float64Array): void {
  const { border, own, size } = block;
  for (let node = 0; node < weights.length; node++) {
    const w = weights[node]!;
    if (w === 0) continue;
    for (let j = 0; j < commonSize; j++) {
      border[column * commonSize + j] = border[column * commonSize + j]! + w * path.common[node * commonSize + j]!;
    }
    own[column * size] = own[column * size]! + w * path.scale[node]!;
    for (let j = 0; j < ownSize; j++) own[column * size + 1 + j] = own[column * size + 1 + j]! + w * path.own[node * ownSize + j]!;
  }
}

/** Adds the curve's own block: Σ over neighbouring nodes of row · weight · rowᵀ. */
function addCurve(
  path: Trajectory,
  system: ArrowSystem,
  ownSize: number,
  block: PullBlock,
  sums: { readonly diagonal: Float64Array; readonly beside: Float64Array; readonly right: Float64Array },
): void {
  const { diagonal, beside, right } = sums;
  const { commonSize, common, commonRight } = system;
  const { border, own, size } = block;
  const nodes = diagonal.length;
  const width = commonSize + 1 + ownSize;
  const rows = new Float64Array(nodes * width);
  for (let node = 0; node < nodes; node++) {
    rows.set(path.common.subarray(node * commonSize, (node + 1) * commonSize), node * width);
    rows[node * width + commonSize] = path.scale[node]!;
    rows.set(path.own.subarray(node * ownSize, (node + 1) * ownSize), node * width + commonSize + 1);
  }
  const weighted = new Float64Array(width);
  for (let node = 0; node < nodes; node++) {
    const at = node * width;
    const d = diagonal[node]!;
    const after = node + 1 < nodes ? beside[node]! : 0;
    const before = node > 0 ? beside[node - 1]! : 0;
    const next = after === 0 ? at : at + width;
    const last = before === 0 ? at : at - width;
    for (let j = 0; j < width; j++) weighted[j] = d * rows[at + j]! + after * rows[next + j]! + before * rows[last + j]!;
    const r = right[node]!;
    // A cumulated row has nothing yet beyond the place that the pull has reached.
    let reached = commonSize;
    while (reached > 0 && rows[at + reached - 1] === 0) reached--;
    for (let i = 0; i < reached; i++) {
      const x = rows[at + i]!;
      commonRight[i] = commonRight[i]! + x * r;
      const base = i * commonSize;
      for (let j = 0; j <= i; j++) common[base + j] = common[base + j]! + x * weighted[j]!;
    }
    for (let i = 0; i <= ownSize; i++) {
      const x = rows[at + commonSize + i]!;
      if (x === 0) continue;
      block.right[i] = block.right[i]! + x * r;
      const base = i * commonSize;
      for (let j = 0; j < commonSize; j++) border[base + j] = border[base + j]! + x * weighted[j]!;
      const ownBase = i * size;
      for (let j = 0; j <= i; j++) own[ownBase + j] = own[ownBase + j]! + x * weighted[commonSize + j]!;
    }
  }
}

/** Noise from the middle of the residuals, so that a few wild readings do not set it. */
function noiseSeen(spans: readonly FollowedSpan[], from: ChannelNoise, parameters: number): ChannelNoise {
  const noiseRpm = Float64Array.from(from.noiseRpm);
  const inflation = Float64Array.from(from.inflation);
  const readings = noiseRpm.map((_, c) => spans.reduce((sum, { residuals }) => sum + (residuals[c]?.length ?? 0), 0));
  const all = readings.reduce((sum, count) => sum + count, 0);
  const freedom = Math.max(0.3, 1 - parameters / all);
  // Each channel moves the curve by its share of the information, and the variance that repeats in the curve is that share of its own.
  let [repeated, told] = [0, 0];
  for (let c = 0; c < noiseRpm.length; c++) {
    const count = readings[c]!;
    if (count < 8) continue;
    const sizes = new Float64Array(count);
    let next = 0;
    for (const { residuals, trust } of spans) {
      const own = residuals[c];
      if (own === undefined) continue;
      for (let i = 0; i < own.length; i++) sizes[next++] = Math.abs(own[i]!) * Math.sqrt(trust[c]![i]!);
    }
    sizes.sort();
    const most = 3 * sizes[Math.floor(count * 0.683)]!;
    let clipped = 0;
    for (let i = 0; i < count; i++) clipped += Math.min(sizes[i]!, most) ** 2;
    noiseRpm[c] = Math.max(Math.sqrt(clipped / count / freedom), 1e-3);
    const means = runningMeans(spans, c, most);
    inflation[c] = longRunShare(means, { variance: clipped / count, takenBy: parameters / all });
    const information = count / (noiseRpm[c]! ** 2 * inflation[c]!);
    repeated += information * repeatedShare(means);
    told += information;
  }
  return { noiseRpm, inflation, readings, repeated: told === 0 ? 0 : repeated / told };
}

/** Noise is judged by its mean over this time, s: about what the curve can follow. */
const batchS = 0.5;
/** Least share that steps are believed to average out to: where they fall in with the sampling they do not. */
const leastShare = 0.25;

/** Running means of a span's residuals over half a second, each with the engine speed in its middle. */
interface RunningMeans {
  readonly pull: number;
  /** Readings to a mean. */
  readonly length: number;
  readonly mean: Float64Array;
  readonly engineSpeedRpm: Float64Array;
}

/**
 * Residuals of a channel over half a second each, which is about what the curve follows. A straight line over engine speed is taken out
 * first: channels that differ in scale are no noise, and the scale is in the budget; of noise that is independent the fit has taken
 * that line already.
 *
 * @param most Residuals count up to this size.
 */
function runningMeans(spans: readonly FollowedSpan[], channel: number, most: number): RunningMeans[] {
  return spans.flatMap(({ pull, residuals, predictedRpm, trust, path }) => {
    if (residuals[channel] === undefined || residuals[channel].length < 4) return [];
    const sizes = residuals[channel].map((value, i) => Math.min(Math.max(value * Math.sqrt(trust[channel]![i]!), -most), most));
    const own = withoutLine(sizes, predictedRpm[channel]!);
    const durationS = path.timeS[path.timeS.length - 1]! - path.timeS[0]!;
    const length = Math.max(2, Math.min(Math.round((batchS * own.length) / durationS), own.length >> 1));
    const mean = new Float64Array(own.length - length + 1);
    let sum = 0;
    for (let i = 0; i < own.length; i++) {
      sum += own[i]!;
      if (i >= length) sum -= own[i - length]!;
      if (i >= length - 1) mean[i - length + 1] = sum / length;
    }
    const middle = length >> 1;
    return [{ pull, length, mean, engineSpeedRpm: predictedRpm[channel]!.subarray(middle, middle + mean.length) }];
  });
}

/**
 * Variance of the noise as a curve feels it, which follows many readings at once, over that of single readings: 1 for independent
 * errors, more for errors that stay for a while, less for steps that the readings cross at ever other places. From the means of all
 * runs of neighbouring residuals half a second long (overlapping batch means); the fit takes a little out of each, which is put back.
 *
 * @param options `variance` of single residuals; `takenBy`: parameters per reading.
 *
 * Source: overlapping batch means: Meketon & Schmeiser, Proc. Winter Simulation Conf. (1984) 227; equal to a Bartlett window of that length.
 */
function longRunShare(means: readonly RunningMeans[], options: { readonly variance: number; readonly takenBy: number }): number {
  const { variance, takenBy } = options;
  if (!(variance > 0)) return 1;
  let squares = 0;
  let taken = 0;
  let batches = 0;
  for (const { length, mean } of means) {
    for (const value of mean) squares += value * value * length;
    taken += length * takenBy * mean.length;
    batches += mean.length;
  }
  if (batches < 8) return 1;
  return Math.max(leastShare, squares / batches / variance / Math.max(0.3, 1 - taken / batches));
}

/** What is left of values after a straight line over `x`. */
function withoutLine(values: Float64Array, x: Float64Array): Float64Array {
  const count = values.length;
  const meanX = x.reduce((sum, value) => sum + value, 0) / count;
  const mean = values.reduce((sum, value) => sum + value, 0) / count;
  let products = 0;
  let squares = 0;
  for (let i = 0; i < count; i++) {
    products += (x[i]! - meanX) * values[i]!;
    squares += (x[i]! - meanX) ** 2;
  }
  const slope = squares > 0 ? products / squares : 0;
  return values.map((value, i) => value - mean - slope * (x[i]! - meanX));
}

/**
 * Correlation between what pulls are off at the same engine speed: steps that every pull meets at the same places, or a curve that
 * follows none of them. Errors that repeat do not average out over pulls: with the correlation ρ the variance of the mean of n pulls is
 * (1 + (n − 1) ρ) / n of one pull's. It is asked of the same running means that the noise is judged by, because that is the noise which
 * moves the curve: single readings of a stepped channel are off alike wherever they stand on the step, and the curve feels nothing of it.
 *
 * Running means that overlap say the same, so that independent pairs are fewer by their length; what so few pairs show by chance is
 * taken off.
 */
function repeatedShare(means: readonly RunningMeans[]): number {
  let products = 0;
  let squares = 0;
  let pairs = 0;
  for (let s = 0; s < means.length; s++) {
    for (let other = s + 1; other < means.length; other++) {
      const a = means[s]!;
      const b = means[other]!;
      if (b.pull === a.pull || b.mean.length === 0) continue;
      let k = 0;
      for (let i = 1; i < a.mean.length; i++) {
        const speed = a.engineSpeedRpm[i]!;
        while (k + 1 < b.mean.length && Math.abs(b.engineSpeedRpm[k + 1]! - speed) <= Math.abs(b.engineSpeedRpm[k]! - speed)) k++;
        if (Math.abs(b.engineSpeedRpm[k]! - speed) > Math.abs(speed - a.engineSpeedRpm[i - 1]!)) continue;
        products += a.mean[i]! * b.mean[k]!;
        squares += (a.mean[i]! ** 2 + b.mean[k]! ** 2) / 2;
        pairs += 1 / Math.max(a.length, b.length);
      }
    }
  }
  if (pairs < 8 || !(squares > 0)) return 0;
  const raw = Math.min(Math.max(products / squares, 0), 1);
  return raw === 0 ? 0 : raw * Math.max(0, 1 - 4 / (pairs * raw * raw));
}

function hermite(y0: number, y1: number, d0: number, d1: number, u: number): number {
  const u2 = u * u;
  const u3 = u2 * u;
  return (2 * u3 - 3 * u2 + 1) * y0 + (u3 - 2 * u2 + u) * d0 + (3 * u2 - 2 * u3) * y1 + (u3 - u2) * d1;
}
