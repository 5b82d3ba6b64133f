import type { ArrowSystem, PullBlock } from './arrow.js';
import { type ChannelNoise, noiseSeen } from './channelNoise.js';
import { type FollowedSpan, followSpan, nodeAt, type SetupModel } from './followSpan.js';
import type { Trajectory } from './motion.js';

/** The model around which a setup's readings are made linear. */
export interface LinearisedAt extends SetupModel {
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
  const spans = pulls.flatMap((pull, p) => pull.spans.map((_, s) => followSpan(at, p, s, before.noiseRpm)));
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
