import type { BSplineBasis } from '../maths/index.js';
import { integrateSpan, type MotionPull, spanEnd, spanStart, type Trajectory } from './motion.js';
import type { ParameterLayout } from './torqueParameters.js';

/** Pulls of a setup, and the parameters of the model that follows them. */
export interface SetupModel {
  readonly pulls: readonly MotionPull[];
  readonly basis: BSplineBasis;
  readonly ownBasis: BSplineBasis;
  readonly layout: ParameterLayout;
  readonly parameters: Float64Array;
}

/** One span with its path by the present parameters, and what each channel's readings are off it. */
export interface FollowedSpan {
  readonly pull: number;
  readonly span: number;
  readonly path: Trajectory;
  readonly residuals: readonly Float64Array[];
  readonly predictedRpm: readonly Float64Array[];
  /** Share of its channel's precision that each reading has. */
  readonly trust: readonly Float64Array[];
}

/**
 * Follows one span of one pull by the present parameters.
 *
 * @param noiseRpm standard deviation of each channel, which a reading's trust is held against
 */
export function followSpan(
  { pulls, basis, ownBasis, layout, parameters }: SetupModel,
  p: number,
  s: number,
  noiseRpm: Float64Array,
): FollowedSpan {
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
    return trustOf(timeS, { fromTimeS, lagS, rateRpmPerS: path.rate[0]!, noiseRpm: noiseRpm[c]! });
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
export function nodeAt(path: Trajectory, timeS: number): number {
  const h = path.timeS[1]! - path.timeS[0]!;
  return Math.min(Math.max(Math.floor((timeS - path.timeS[0]!) / h), 0), path.timeS.length - 2);
}

function speedAt(path: Trajectory, timeS: number): number {
  const node = nodeAt(path, timeS);
  const h = path.timeS[node + 1]! - path.timeS[node]!;
  const u = (timeS - path.timeS[node]!) / h;
  return hermite(path.rpm[node]!, path.rpm[node + 1]!, h * path.rate[node]!, h * path.rate[node + 1]!, u);
}

function hermite(y0: number, y1: number, d0: number, d1: number, u: number): number {
  const u2 = u * u;
  const u3 = u2 * u;
  return (2 * u3 - 3 * u2 + 1) * y0 + (u3 - 2 * u2 + u) * d0 + (3 * u2 - 2 * u3) * y1 + (u3 - u2) * d1;
}
