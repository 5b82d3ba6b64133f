import { cholesky, choleskyLogDeterminant, forwardSubstitute } from '../maths/index.js';
import type { Run, Segment } from './ceilingCandidate.js';
import { normalCdf } from './normalTail.js';

/** What speaks for a clamp and against a living reading, as natural logarithms of likelihood ratios except the two shares. */
export interface CeilingEvidence {
  /** Noise that the channel shows elsewhere is gone at the level. */
  readonly lostNoise: number;
  /** Every run stands on the same value, and nothing drifts within a run, as no living pressure does. */
  readonly sameLevel: number;
  /** Readings at the level follow each other like ripple, not like jitter; 0 when they do not, below 0 when they do. */
  readonly whiteness: number;
  /** Share of the readings between the first and the last at the level that are at it. */
  readonly stays: number;
  /** Share of the readings of the upper nine counts that lie on the level or a count beside: 0.58 for a parabola’s top, 1 where nothing else is read. */
  readonly pileUp: number;
  /** Standard deviation of the readings elsewhere about a smooth curve, in counts; NaN when too few. */
  readonly noiseElsewhereCounts: number;
  readonly noiseAtLevelCounts: number;
}

/** Weighs the evidence for the runs at a level being a clamp. `breathing` is the standard deviation, in the channel's unit, by which a living reading drifts in half a second. */
export function ceilingEvidence(
  segments: readonly Segment[],
  runs: readonly Run[],
  level: number,
  count: number,
  breathing: number,
): CeilingEvidence {
  const noiseElsewhereCounts = noiseBelow(segments, level, count);
  const cores = runs.map((run) => coreOf(run, segments));
  const codes = cores.map((run) => segments[run.segment]!.values.slice(run.from, run.to + 1).map((v) => Math.round((v - level) / count)));
  return {
    lostNoise: lostNoise(codes, noiseElsewhereCounts),
    sameLevel: sameLevel(segments, cores, codes, breathing / count),
    whiteness: whiteness(codes),
    stays: stays(runs),
    pileUp: pileUp(segments, runs, level, count),
    noiseElsewhereCounts,
    noiseAtLevelCounts: Math.sqrt(whiteVariance(codes)),
  };
}

/** A run without the sixth at either end where the curve is only just above the level; an end of the recording is no such end. */
function coreOf(run: Run, segments: readonly Segment[]): Run {
  const cut = Math.floor((run.to - run.from + 1) / 6);
  const last = segments[run.segment]!.values.length - 1;
  return { segment: run.segment, from: run.from === 0 ? run.from : run.from + cut, to: run.to === last ? run.to : run.to - cut };
}

/** Noise about a smooth curve below the level from third differences (variance 20 σ²), the largest two fifths left out, less the rounding's own twelfth. */
function noiseBelow(segments: readonly Segment[], level: number, count: number): number {
  const squares: number[] = [];
  for (const segment of segments) {
    for (let i = 3; i < segment.values.length; i++) {
      const [a, b, c, d] = [segment.values[i - 3]!, segment.values[i - 2]!, segment.values[i - 1]!, segment.values[i]!];
      if (Math.max(a, b, c, d) > level - 1.5 * count) continue;
      squares.push(((d - 3 * c + 3 * b - a) / count) ** 2 / 20);
    }
  }
  if (squares.length < 8) return Number.NaN;
  squares.sort((x, y) => x - y);
  const kept = squares.slice(0, Math.ceil(0.6 * squares.length));
  // Variance of a normal cut at its 20 % and 80 % points is 0.2146 of the whole.
  const variance = kept.reduce((sum, value) => sum + value, 0) / kept.length / 0.2146;
  return Math.sqrt(Math.max(0, variance - 1 / 12));
}

/** ln P(codes | a clamp with jitter of at most a count) − ln P(codes | the noise seen elsewhere, at the level that suits each run best). */
function lostNoise(codes: readonly (readonly number[])[], noiseCounts: number): number {
  if (!(noiseCounts > 0.25)) return 0;
  // The estimate is itself uncertain, and ripple may come on top: the noise that suits a living reading best, from 0.85 of it up.
  let living = Number.NEGATIVE_INFINITY;
  for (const share of [0.85, 1.1, 1.5, 2.2]) living = Math.max(living, livingLikelihood(codes, share * noiseCounts));
  return clampLikelihood(codes) - living;
}

function livingLikelihood(codes: readonly (readonly number[])[], sigma: number): number {
  let living = 0;
  for (const run of codes) {
    let best = Number.NEGATIVE_INFINITY;
    for (let m = -1; m <= 1; m += 0.125) {
      let sum = 0;
      for (const code of run) sum += Math.log(normalBetween((code - 0.5 - m) / sigma, (code + 0.5 - m) / sigma));
      best = Math.max(best, sum);
    }
    living += best;
  }
  return living;
}

/** Readings at −1, 0, +1 count drawn with the shares that suit them best, the same in every run. */
function clampLikelihood(codes: readonly (readonly number[])[]): number {
  const seen = [0, 0, 0];
  for (const run of codes) for (const code of run) seen[Math.max(0, Math.min(2, code + 1))]! += 1;
  const total = seen[0]! + seen[1]! + seen[2]!;
  return seen.reduce((sum, n) => (n === 0 ? sum : sum + n * Math.log(n / total)), 0);
}

/**
 * Half-second block means against one common level. A clamp scatters about it by its jitter only; a living reading also by breathing from block to block, by a tilt over each run, and by a level of its own in each pull.
 * ln N(means | jitter) − ln N(means | jitter + breathing + tilt + pull), the common level known to neither.
 */
function sameLevel(segments: readonly Segment[], runs: readonly Run[], codes: readonly (readonly number[])[], breathing: number): number {
  const white = whiteVariance(codes);
  const blocks: Block[] = [];
  for (const [number, run] of runs.entries()) {
    const timeS = segments[run.segment]!.timeS;
    const middleS = (timeS[run.from]! + timeS[run.to]!) / 2;
    const blockS = Math.max(0.5, (timeS[run.to]! - timeS[run.from]!) / 12);
    let from = run.from;
    for (let i = run.from; i <= run.to; i++) {
      if (i < run.to && timeS[i + 1]! - timeS[from]! < blockS) continue;
      const part = codes[number]!.slice(from - run.from, i + 1 - run.from);
      const mean = part.reduce((a, b) => a + b, 0) / part.length;
      blocks.push({ mean, readings: part.length, run: number, fromMiddleS: (timeS[from]! + timeS[i]!) / 2 - middleS });
      from = i + 1;
    }
  }
  // Rounding hides a drift below its step, the same way all through a run, unless jitter dithers it.
  const rounding = white > 0.05 ? 0.02 : 1 / 12;
  const clamped = blockLikelihood(blocks, (a, b) => (a === b ? white / a.readings + rounding : 0));
  const living = blockLikelihood(blocks, (a, b) => {
    if (a.run !== b.run) return 0;
    const shared = breathing * breathing * (pullScatter ** 2 + tiltPerS ** 2 * a.fromMiddleS * b.fromMiddleS);
    return a === b ? shared + breathing * breathing + white / a.readings + rounding : shared;
  });
  return clamped - living;
}

/** A living level differs between pulls by this many breathings, and tilts by this many a second. */
const pullScatter = 1.5;
const tiltPerS = 1;

interface Block {
  readonly mean: number;
  readonly readings: number;
  readonly run: number;
  readonly fromMiddleS: number;
}

/** ln of the normal density of block means with a common level of flat prior (restricted likelihood). */
function blockLikelihood(blocks: readonly Block[], covariance: (a: Block, b: Block) => number): number {
  const n = blocks.length;
  const matrix = new Float64Array(n * n);
  for (let i = 0; i < n; i++) for (let j = 0; j < n; j++) matrix[i * n + j] = covariance(blocks[i]!, blocks[j]!);
  const factor = cholesky(matrix, n);
  if (factor === null) return Number.NaN;
  const y = forwardSubstitute(
    factor,
    n,
    Float64Array.from(blocks, (block) => block.mean),
  );
  const one = forwardSubstitute(factor, n, new Float64Array(n).fill(1));
  let yy = 0;
  let oneY = 0;
  let oneOne = 0;
  for (let i = 0; i < n; i++) {
    yy += y[i]! * y[i]!;
    oneY += one[i]! * y[i]!;
    oneOne += one[i]! * one[i]!;
  }
  return -0.5 * (choleskyLogDeterminant(factor, n) + Math.log(oneOne) + yy - (oneY * oneY) / oneOne);
}

/** Share of the readings of the upper nine counts that lie on the level or a count beside, in the pulls that reach it. */
function pileUp(segments: readonly Segment[], runs: readonly Run[], level: number, count: number): number {
  const reached = new Set(runs.map((run) => run.segment));
  let on = 0;
  let all = 0;
  for (const number of reached) {
    for (const value of segments[number]!.values) {
      const below = (level - value) / count;
      if (below > 7.5) continue;
      all += 1;
      if (below <= 1.5) on += 1;
    }
  }
  return on / all;
}

/** −(n/2) ln(1 − ρ²) with the lag-one correlation within runs: jitter has none, ripple and breathing do. Zero or below. */
function whiteness(codes: readonly (readonly number[])[]): number {
  let square = 0;
  let product = 0;
  let n = 0;
  for (const run of codes) {
    if (run.length < 4) continue;
    const mean = run.reduce((a, b) => a + b, 0) / run.length;
    for (let i = 0; i < run.length; i++) {
      square += (run[i]! - mean) ** 2;
      if (i > 0) product += (run[i]! - mean) * (run[i - 1]! - mean);
    }
    n += run.length;
  }
  if (square === 0) return 0;
  const rho = Math.max(0, Math.min(0.99, product / square));
  return 0.5 * n * Math.log(1 - rho * rho);
}

/** Share of the readings between the first and the last at the level, pull by pull, that are at it: a living crest is left and reached again. */
function stays(runs: readonly Run[]): number {
  let at = 0;
  let between = 0;
  for (const number of new Set(runs.map((run) => run.segment))) {
    const mine = runs.filter((run) => run.segment === number);
    between += mine.at(-1)!.to - mine[0]!.from + 1;
    for (const run of mine) at += run.to - run.from + 1;
  }
  return at / between;
}

/** Variance from one reading to the next within runs, in counts². */
function whiteVariance(codes: readonly (readonly number[])[]): number {
  let sum = 0;
  let n = 0;
  for (const run of codes) {
    for (let i = 1; i < run.length; i++) {
      sum += (run[i]! - run[i - 1]!) ** 2 / 2;
      n += 1;
    }
  }
  return n === 0 ? 0 : sum / n;
}

/** Probability of a standard normal between two points, never quite 0. */
function normalBetween(low: number, high: number): number {
  return Math.max(1e-12, normalCdf(high) - normalCdf(low));
}
