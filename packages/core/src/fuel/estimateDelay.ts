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
  const bound = best * (1 + 3.84 / problem.independent(bestFixed, bestFlow));
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
  readonly rows: readonly number[];
  readonly timeS: Float64Array;
  readonly lambda: Float64Array;
  readonly driverTimeS: readonly number[];
  readonly driver: readonly number[];
  /** Median flow over flow, per row. */
  readonly slowness: Float64Array;
  readonly medianFlow: number;
  /** Squares of lambda about its mean. */
  readonly total: number;
  readonly independent: (fixedS: number, flowS: number) => number;
}

function prepare(timeS: Float64Array, lambda: Float64Array, driver: Float64Array, flow: Float64Array): Problem | null {
  const rows: number[] = [];
  const driverTimeS: number[] = [];
  const driverValues: number[] = [];
  for (let i = 0; i < timeS.length; i++) {
    if (Number.isFinite(driver[i]!)) {
      driverTimeS.push(timeS[i]!);
      driverValues.push(driver[i]!);
    }
    if (Number.isFinite(lambda[i]!) && flow[i]! > 0) rows.push(i);
  }
  if (rows.length < 30 || driverValues.length < 30) return null;
  if (Math.max(...driverValues) - Math.min(...driverValues) === 0) return null;
  const flows = Float64Array.from(rows, (i) => flow[i]!).sort();
  const medianFlow = flows[flows.length >> 1]!;
  const mean = rows.reduce((sum, i) => sum + lambda[i]!, 0) / rows.length;
  const total = rows.reduce((sum, i) => sum + (lambda[i]! - mean) ** 2, 0);
  const base = {
    rows,
    timeS,
    lambda,
    driverTimeS,
    driver: driverValues,
    slowness: flow.map((value) => medianFlow / value),
    medianFlow,
    total,
  };
  return { ...base, independent: (fixedS, flowS) => independentRows(base, fixedS, flowS) };
}

type Fitted = Omit<Problem, 'independent'>;

/** Squares of lambda that the shifted driver leaves, by a straight line on it. */
function squaresLeft(problem: Fitted, fixedS: number, flowS: number): number {
  const shifted = shiftedDriver(problem, fixedS, flowS);
  const { slope, constant } = line(problem, shifted);
  let squares = 0;
  for (const [k, i] of problem.rows.entries()) squares += (problem.lambda[i]! - constant - slope * shifted[k]!) ** 2;
  return squares;
}

function shiftedDriver(problem: Fitted, fixedS: number, flowS: number): Float64Array {
  const { rows, timeS, driverTimeS, driver, slowness } = problem;
  const out = new Float64Array(rows.length);
  let next = 0;
  for (const [k, i] of rows.entries()) {
    const at = timeS[i]! - fixedS - flowS * slowness[i]!;
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

function line(problem: Fitted, x: Float64Array): { readonly slope: number; readonly constant: number } {
  const n = x.length;
  let meanX = 0;
  let meanY = 0;
  for (const [k, i] of problem.rows.entries()) {
    meanX += x[k]! / n;
    meanY += problem.lambda[i]! / n;
  }
  let top = 0;
  let bottom = 0;
  for (const [k, i] of problem.rows.entries()) {
    top += (x[k]! - meanX) * (problem.lambda[i]! - meanY);
    bottom += (x[k]! - meanX) ** 2;
  }
  const slope = bottom > 0 ? top / bottom : 0;
  return { slope, constant: meanY - slope * meanX };
}

/** Rows less what their residuals' correlation from one to the next takes away: n (1 − ρ)/(1 + ρ). */
function independentRows(problem: Fitted, fixedS: number, flowS: number): number {
  const shifted = shiftedDriver(problem, fixedS, flowS);
  const { slope, constant } = line(problem, shifted);
  let square = 0;
  let product = 0;
  let last = 0;
  for (const [k, i] of problem.rows.entries()) {
    const left = problem.lambda[i]! - constant - slope * shifted[k]!;
    square += left * left;
    if (k > 0) product += left * last;
    last = left;
  }
  const rho = square > 0 ? Math.max(0, Math.min(0.98, product / square)) : 0;
  return Math.max(3, (problem.rows.length * (1 - rho)) / (1 + rho));
}

function none(reason: string, explained: number): EstimatedDelay {
  return { delay: null, atMedianS: null, lowS: null, highS: null, explained, reason: `No delay could be estimated: ${reason}.` };
}
