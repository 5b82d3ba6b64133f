import { cholesky, choleskyInverse, choleskySolve } from '../maths/index.js';
import type { FoundPass, SpeedLog } from './findPass.js';
import type { Banded } from './forecastPass.js';
import type { Slip } from './learnFromSlips.js';
import { type StripMark, speedTrapM, stripMarkM, stripMarks } from './stripGeometry.js';

/** A log's pass laid beside its slip. */
export interface AlignedSlip {
  /** Start of the clock on the log's time, s. */
  readonly clockStartS: Banded;
  /** From the first movement of the log to the start of the clock, s: roll-out and the offset of the log's speed together. */
  readonly offsetS: Banded;
  /** True speed over logged speed at the last mark of the slip, the slip and growth of the tyres there included. */
  readonly speedScale: Banded;
  /** Slip of the driven tyres for a driving force equal to the car's weight. */
  readonly slipPerWeight: Banded;
  readonly splits: readonly {
    readonly mark: StripMark;
    readonly slipS: number | null;
    readonly logS: number | null;
    readonly low: number | null;
    readonly high: number | null;
    readonly usedInFit: boolean;
  }[];
  /** True speed against distance from the start of the clock. */
  readonly motion: { readonly timeS: readonly number[]; readonly distanceM: readonly number[]; readonly speedMps: readonly number[] };
  readonly converged: boolean;
}

/** What is known of the log's speed. */
export interface AlignOptions {
  /** Driving force over weight from speed (m/s), acceleration (m/s²) and time (s); what the tyres slip with. */
  readonly forceShare: (speedMps: number, accelerationMps2: number, timeS: number) => number;
  /** Whether the speed is that of driven wheels. */
  readonly drivenWheels: boolean;
  /** Marks whose times are kept out of the fit: 330 and 1000 ft unless given. */
  readonly heldOut?: readonly StripMark[];
  /** Step of the logged speed, m/s; 0 when fine. */
  readonly quantumMps?: number;
}

const gridS = 0.01;

/**
 * Lays a logged pass beside its slip: start of the clock, scale of the logged speed and slip of the tyres by weighted least squares.
 *
 * True speed is k v/(1 + c F/W), F/W the driving force over the weight; distance is its integral from the start of the clock. The times at the
 * marks that are not held out and the mean speeds over the last 66 ft settle clock, k and c; the other times check them.
 *
 * @param log readings of one speed channel
 * @param pass where the pass is
 * @param slip as printed
 * @returns estimates at 95 %, and the log's time at every mark; null where the slip shows no time, or the log ends before a mark that the fit needs
 *
 * Validity: k within a few per cent of 1 (prior 3 %); one far from that says that slip and log do not belong together. c 0 to 0.3 (prior 0.08 ± 0.08, 0 for ground speed).
 */
export function alignSlip(log: SpeedLog, pass: FoundPass, slip: Slip, options: AlignOptions): AlignedSlip | null {
  const { heldOut = ['330ft', '1000ft'], quantumMps = 0, drivenWheels } = options;
  const shown = stripMarks.filter((mark) => slip.timesS[mark] !== undefined);
  const lastMark = shown.at(-1);
  if (lastMark === undefined) return null;
  const grid = gridOf(log, pass);
  const { timeS, loggedMps } = grid;
  const force = forceOn(grid, options.forceShare);
  let used = shown.filter((mark) => !heldOut.includes(mark));
  if (used.length < 2) used = [...shown];
  const traps = (['660ft', '1000ft', '1320ft'] as const).filter((mark) => slip.trapsMps[mark] !== undefined);
  // A stepped speed spreads its rounding over distance.
  const timeError = Math.hypot(0.004, quantumMps * 0.02);
  const trapError = Math.hypot(0.05, quantumMps * 0.15);
  const slipPrior = drivenWheels ? { value: 0.08, spread: 0.08 } : { value: 0, spread: 0.002 };
  const motionOf = (k: number, c: number): { speedMps: Float64Array; distanceM: Float64Array } => {
    const speedMps = loggedMps.map((v, i) => (k * v) / (1 + c * force[i]!));
    const distanceM = new Float64Array(speedMps.length);
    for (let i = 1; i < speedMps.length; i++) distanceM[i] = distanceM[i - 1]! + (gridS * (speedMps[i]! + speedMps[i - 1]!)) / 2;
    return { speedMps, distanceM };
  };
  const reached = (distanceM: Float64Array, wantedM: number): number => {
    let low = 0;
    let high = distanceM.length - 1;
    if (distanceM[high]! < wantedM) return Number.NaN;
    while (high - low > 1) {
      const middle = (low + high) >> 1;
      if (distanceM[middle]! < wantedM) low = middle;
      else high = middle;
    }
    return timeS[low]! + (gridS * (wantedM - distanceM[low]!)) / (distanceM[high]! - distanceM[low]!);
  };
  const distanceAt = (distanceM: Float64Array, t: number): number => {
    const place = Math.max((t - timeS[0]!) / gridS, 0);
    const i = Math.floor(place);
    return distanceM[i]! + (distanceM[i + 1]! - distanceM[i]!) * (place - i);
  };
  /** Times at all marks, then mean speeds, for a clock start, a scale and a slip of the tyres. */
  const predicted = (p: Float64Array): { times: number[]; traps: number[] } => {
    const { distanceM } = motionOf(p[1]!, p[2]!);
    const startM = distanceAt(distanceM, p[0]!);
    return {
      times: stripMarks.map((mark) => reached(distanceM, startM + stripMarkM[mark]) - p[0]!),
      traps: traps.map((mark) => {
        const toM = startM + stripMarkM[mark];
        return speedTrapM / (reached(distanceM, toM) - reached(distanceM, toM - speedTrapM));
      }),
    };
  };
  const residualsOf = (p: Float64Array): Float64Array => {
    const { times, traps: speeds } = predicted(p);
    return Float64Array.from([
      ...used.map((mark) => (times[stripMarks.indexOf(mark)]! - slip.timesS[mark]!) / timeError),
      ...traps.map((mark, i) => (speeds[i]! - slip.trapsMps[mark]!) / trapError),
      (p[1]! - 1) / 0.03,
      (p[2]! - slipPrior.value) / slipPrior.spread,
    ]);
  };
  const firstMoveS = pass.restS;
  let p = Float64Array.from([firstMoveS + 0.25, 1, slipPrior.value]);
  const steps = [0.002, 0.0005, 0.002];
  let converged = false;
  let covariance = new Float64Array(9);
  for (let round = 0; round < 40 && !converged; round++) {
    const now = residualsOf(p);
    if (now.some(Number.isNaN)) return null;
    const columns = steps.map((step, j) => {
      const moved = p.slice();
      moved[j] = moved[j]! + step;
      const behind = p.slice();
      behind[j] = behind[j]! - step;
      const [a, b] = [residualsOf(moved), residualsOf(behind)];
      return a.map((value, i) => (value - b[i]!) / (2 * step));
    });
    const normal = new Float64Array(9);
    const gradient = new Float64Array(3);
    for (let a = 0; a < 3; a++) {
      gradient[a] = -columns[a]!.reduce((sum, value, i) => sum + value * now[i]!, 0);
      for (let b = 0; b < 3; b++) normal[a * 3 + b] = columns[a]!.reduce((sum, value, i) => sum + value * columns[b]![i]!, 0);
    }
    const lower = cholesky(normal, 3);
    if (lower === null) return null;
    const step = choleskySolve(lower, 3, gradient);
    const shorter = Math.min(1, 0.3 / Math.abs(step[0]!), 0.05 / Math.abs(step[1]!));
    p = p.map((value, i) => value + shorter * step[i]!);
    covariance = Float64Array.from(choleskyInverse(lower, 3));
    converged = Math.abs(step[0]!) < 1e-4 && Math.abs(step[1]!) < 1e-5;
  }
  const final = predicted(p);
  const sd = (i: number): number => Math.sqrt(covariance[4 * i]!);
  const banded = (value: number, spread: number): Banded => ({ value, low: value - 1.96 * spread, high: value + 1.96 * spread });
  const slopes = steps.map((step, j) => {
    const moved = p.slice();
    moved[j] = moved[j]! + step;
    return predicted(moved).times.map((time, m) => (time - final.times[m]!) / step);
  });
  const splits = stripMarks.map((mark, m) => {
    const logS = final.times[m]!;
    const slipS = slip.timesS[mark] ?? null;
    if (Number.isNaN(logS)) return { mark, slipS, logS: null, low: null, high: null, usedInFit: false };
    let variance = timeError * timeError;
    for (let a = 0; a < 3; a++) for (let b = 0; b < 3; b++) variance += slopes[a]![m]! * slopes[b]![m]! * covariance[a * 3 + b]!;
    const { low, high } = banded(logS, Math.sqrt(variance));
    return { mark, slipS, logS, low, high, usedInFit: used.includes(mark) };
  });
  const { speedMps, distanceM } = motionOf(p[1]!, p[2]!);
  const startM = distanceAt(distanceM, p[0]!);
  const endPlace = Math.round((p[0]! + slip.timesS[lastMark]! - 0.3 - timeS[0]!) / gridS);
  const atEnd = force.subarray(Math.max(0, endPlace - 100), Math.max(1, endPlace));
  const endForce = atEnd.reduce((sum, share) => sum + share, 0) / atEnd.length;
  const scale = p[1]! / (1 + p[2]! * endForce);
  const perSlip = (-scale * endForce) / (1 + p[2]! * endForce);
  const perScale = scale / p[1]!;
  const scaleVariance = perScale ** 2 * covariance[4]! + perSlip ** 2 * covariance[8]! + 2 * perScale * perSlip * covariance[5]!;
  const kept = Array.from(timeS.keys()).filter((i) => i % 10 === 0 && distanceM[i]! - startM < 420);
  return {
    clockStartS: banded(p[0]!, sd(0)),
    offsetS: banded(p[0]! - firstMoveS, sd(0)),
    speedScale: banded(scale, Math.sqrt(Math.max(0, scaleVariance))),
    slipPerWeight: banded(p[2]!, sd(2)),
    splits,
    motion: {
      timeS: kept.map((i) => timeS[i]! - p[0]!),
      distanceM: kept.map((i) => distanceM[i]! - startM),
      speedMps: kept.map((i) => speedMps[i]!),
    },
    converged,
  };
}

/** Speed on an even grid of time, straight between readings. */
function gridOf(log: SpeedLog, pass: FoundPass): { timeS: Float64Array; loggedMps: Float64Array } {
  const fromS = Math.max(log.timeS[0]!, pass.restS - 0.5);
  const toS = Math.min(log.timeS[log.timeS.length - 1]!, pass.endS + 1);
  const count = Math.max(2, Math.floor((toS - fromS) / gridS));
  const timeS = Float64Array.from({ length: count }, (_, i) => fromS + i * gridS);
  let k = 0;
  const loggedMps = timeS.map((t) => {
    while (log.timeS[k + 1]! < t) k++;
    const span = log.timeS[k + 1]! - log.timeS[k]!;
    const share = span > 0 ? (t - log.timeS[k]!) / span : 0;
    return log.speedMps[k]! + share * (log.speedMps[k + 1]! - log.speedMps[k]!);
  });
  return { timeS, loggedMps };
}

/** Driving force over weight on the grid, from the slope of the speed over 0.15 s on each side. */
function forceOn(
  { timeS, loggedMps }: { readonly timeS: Float64Array; readonly loggedMps: Float64Array },
  forceShare: AlignOptions['forceShare'],
): Float64Array {
  const half = Math.round(0.15 / gridS);
  const last = loggedMps.length - 1;
  return timeS.map((t, i) => {
    const [a, b] = [Math.max(0, i - half), Math.min(last, i + half)];
    const slope = (loggedMps[b]! - loggedMps[a]!) / ((b - a) * gridS);
    return Math.max(0, forceShare(loggedMps[i]!, slope, t));
  });
}
