import { PullproofError } from '../findings/index.js';
import type { TransportDelay } from './transportDelay.js';

/** Options of {@link estimateDelay}. */
export interface EstimateDelayOptions {
  /** What the delay shortens with: air or exhaust flow, or anything proportional to it. Default engine speed. */
  readonly flow?: Float64Array | null;
  /** Longest delay looked for at the reference flow, s. Default 0.8. */
  readonly longestS?: number;
  /** Share of the lambda variance that the shifted driver must explain. Default 0.3. */
  readonly leastExplained?: number;
}

export interface EstimatedDelay {
  /** Null when the readings do not tell one; `reason` says why. */
  readonly delay: TransportDelay | null;
  /** Delay at the median flow, and the range that explains the readings about as well (95 %), s. */
  readonly atMedianS: number | null;
  readonly lowS: number | null;
  readonly highS: number | null;
  /** Share of the variance of lambda that the shifted driver explains, 0–1. */
  readonly explained: number;
  readonly reason: string;
}

/**
 * Estimates how long after a change of fuelling the exhaust sensor shows it.
 *
 * Least squares of lambda(t) = a + b · driver(t − d(t)), d = fixed + flow part · median flow/flow, over a grid of both parts that is refined three times.
 *
 * @param timeS time of each row, s, never falling
 * @param lambda measured; NaN where there is no reading
 * @param driver what lambda should follow: commanded lambda, or fuel or load changes; NaN where there is none
 * @param engineSpeedRpm same length
 * @returns the law with its range at the median flow, or null with the reason
 * @throws E_LENGTHS
 *
 * Validity: the driver must move (steps of fuelling, tip-in); a sensor's lag counts as delay. Below `leastExplained` nothing is claimed.
 *
 * Uncertainty: the range is where the residual sum of squares lies within the F bound, with the readings' own correlation counted.
 */
export function estimateDelay(
  timeS: Float64Array,
  lambda: Float64Array,
  driver: Float64Array,
  engineSpeedRpm: Float64Array,
  options: EstimateDelayOptions = {},
): EstimatedDelay {
  const { longestS = 0.8, leastExplained = 0.3 } = options;
  const flow = options.flow ?? engineSpeedRpm;
  if ([lambda, driver, engineSpeedRpm, flow].some((one) => one.length !== timeS.length)) {
    throw new PullproofError('E_LENGTHS', 'Time, lambda, driver and flow differ in length.', {}, 'Give arrays of one length.');
  }
  const problem = prepare(timeS, lambda, driver, flow);
  if (problem === null) return none('fewer than thirty rows with lambda, driver and flow, or a driver that never moves', 0);

  let bestFixed = 0;
  let bestFlow = 0;
  let best = Number.POSITIVE_INFINITY;
  const tried: { readonly at: number; readonly squares: number }[] = [];
  let fixedRange: readonly [number, number] = [0, longestS];
  let flowRange: readonly [number, number] = [0, longestS];
  for (let round = 0; round < 4; round++) {
    const steps = round === 0 ? 24 : 10;
    for (let i = 0; i <= steps; i++) {
      for (let j = 0; j <= steps; j++) {
        const fixedS = fixedRange[0] + ((fixedRange[1] - fixedRange[0]) * i) / steps;
        const flowS = flowRange[0] + ((flowRange[1] - flowRange[0]) * j) / steps;
        if (fixedS + flowS > longestS + 1e-9) continue;
        const squares = squaresLeft(problem, fixedS, flowS);
        tried.push({ at: fixedS + flowS, squares });
        if (!(squares < best)) continue;
        best = squares;
        bestFixed = fixedS;
        bestFlow = flowS;
      }
    }
    const half = (longestS / 24) * 0.3 ** round;
    fixedRange = [Math.max(0, bestFixed - half), bestFixed + half];
    flowRange = [Math.max(0, bestFlow - half), bestFlow + half];
  }
  const explained = 1 - best / problem.total;
  if (!(explained >= leastExplained)) {
    return none(
      `no delay makes lambda follow the driver (${(100 * Math.max(0, explained)).toFixed(0)} % of its variance explained)`,
      Math.max(0, explained),
    );
  }
  const bound = best * (1 + 3.84 / independentRows(problem, bestFixed, bestFlow));
  const within = tried.filter((one) => one.squares <= bound).map((one) => one.at);
  return {
    delay: { fixedS: bestFixed, flowS: bestFlow, referenceFlow: problem.medianFlow },
    atMedianS: bestFixed + bestFlow,
    lowS: Math.min(...within),
    highS: Math.max(...within),
    explained,
    reason: `lambda follows the driver after ${(1000 * (bestFixed + bestFlow)).toFixed(0)} ms at the median flow`,
  };
}

interface Problem {
  /** Rows with lambda, in order: when, lambda less its mean, and median flow over flow. */
  readonly timeS: Float64Array;
  readonly lambda: Float64Array;
  readonly slowness: Float64Array;
  readonly driverTimeS: Float64Array;
  readonly driver: Float64Array;
  readonly medianFlow: number;
  /** Squares of lambda about its mean. */
  readonly total: number;
}

function prepare(timeS: Float64Array, lambda: Float64Array, driver: Float64Array, flow: Float64Array): Problem | null {
  const known = Uint32Array.from(timeS.keys());
  const rows = known.filter((i) => Number.isFinite(lambda[i]!) && flow[i]! > 0);
  const driven = known.filter((i) => Number.isFinite(driver[i]!));
  if (rows.length < 30 || driven.length < 30) return null;
  const driverValues = Float64Array.from(driven, (i) => driver[i]!);
  if (driverValues.every((value) => value === driverValues[0])) return null;
  const flows = Float64Array.from(rows, (i) => flow[i]!);
  const medianFlow = flows.toSorted()[flows.length >> 1]!;
  const mean = rows.reduce((sum, i) => sum + lambda[i]!, 0) / rows.length;
  const away = Float64Array.from(rows, (i) => lambda[i]! - mean);
  return {
    timeS: Float64Array.from(rows, (i) => timeS[i]!),
    lambda: away,
    slowness: flows.map((value) => medianFlow / value),
    driverTimeS: Float64Array.from(driven, (i) => timeS[i]!),
    driver: driverValues,
    medianFlow,
    total: away.reduce((sum, value) => sum + value * value, 0),
  };
}

/** Squares of lambda that the shifted driver leaves, by a straight line on it. */
function squaresLeft(problem: Problem, fixedS: number, flowS: number): number {
  const { slope, away } = line(problem, fixedS, flowS);
  const { lambda } = problem;
  let squares = 0;
  for (let k = 0; k < away.length; k++) {
    const left = lambda[k]! - slope * away[k]!;
    squares += left * left;
  }
  return squares;
}

/** The driver as it was one delay before each row. */
function shiftedDriver({ timeS, driverTimeS, driver, slowness }: Problem, fixedS: number, flowS: number): Float64Array {
  const out = new Float64Array(timeS.length);
  let next = 0;
  for (let k = 0; k < out.length; k++) {
    const at = timeS[k]! - fixedS - flowS * slowness[k]!;
    while (next > 0 && driverTimeS[next - 1]! >= at) next--;
    while (next < driver.length && driverTimeS[next]! < at) next++;
    if (next === 0) out[k] = driver[0]!;
    else if (next === driver.length) out[k] = driver[next - 1]!;
    else {
      const share = (at - driverTimeS[next - 1]!) / (driverTimeS[next]! - driverTimeS[next - 1]!);
      out[k] = driver[next - 1]! + share * (driver[next]! - driver[next - 1]!);
    }
  }
  return out;
}

/** Slope of lambda over the shifted driver, which is given less its mean. */
function line(problem: Problem, fixedS: number, flowS: number): { readonly slope: number; readonly away: Float64Array } {
  const away = shiftedDriver(problem, fixedS, flowS);
  let mean = 0;
  for (let k = 0; k < away.length; k++) mean += away[k]! / away.length;
  let top = 0;
  let bottom = 0;
  for (let k = 0; k < away.length; k++) {
    const x = away[k]! - mean;
    away[k] = x;
    top += x * problem.lambda[k]!;
    bottom += x * x;
  }
  return { slope: bottom > 0 ? top / bottom : 0, away };
}

/** Rows less what their residuals' correlation from one to the next takes away: n (1 − ρ)/(1 + ρ). */
function independentRows(problem: Problem, fixedS: number, flowS: number): number {
  const { slope, away } = line(problem, fixedS, flowS);
  let square = 0;
  let product = 0;
  let last = 0;
  for (let k = 0; k < away.length; k++) {
    const left = problem.lambda[k]! - slope * away[k]!;
    square += left * left;
    if (k > 0) product += left * last;
    last = left;
  }
  const rho = square > 0 ? Math.max(0, Math.min(0.98, product / square)) : 0;
  return Math.max(3, (away.length * (1 - rho)) / (1 + rho));
}

function none(reason: string, explained: number): EstimatedDelay {
  return { delay: null, atMedianS: null, lowS: null, highS: null, explained, reason: `No delay could be estimated: ${reason}.` };
}
