import { quantileSorted } from 'simple-statistics';
import { type Channel, channelsOf, type FreshSamples, freshSamples, type Log, onceForEach, type Quantity } from '../log/index.js';
import { joined, lowerBound, upperBound } from '../maths/index.js';
import { speedLagS } from './speedLag.js';

/** Fresh readings of one channel with their own time stamps. */
export interface Readings {
  readonly channel: Channel;
  readonly timeS: Float64Array;
  readonly values: Float64Array;
  /** Lag behind engine speed that was taken out of `timeS`, s; absent where none was. */
  readonly lagS?: number;
}

/** Fresh readings of a channel from one time to another, both included. A part of the log in which time does not reach that far adds nothing. */
export function readingsBetween(log: Log, channel: Channel, fromS: number, toS: number): FreshSamples {
  const found = log.parts.map((part) => {
    const times = log.timeS.subarray(part.from, part.to);
    return freshSamples(log, channel, part.from + lowerBound(times, fromS), part.from + upperBound(times, toS));
  });
  if (found.length === 1) return found[0]!;
  return {
    timeS: joined(found.map(({ timeS }) => timeS)),
    values: joined(found.map(({ values }) => values)),
    rows: Uint32Array.from(found.flatMap(({ rows }) => Array.from(rows))),
  };
}

/** The channels that say how the car moves. */
export interface MotionSignals {
  readonly log: Log;
  readonly engine: Readings | null;
  /** The speed that tells most of the motion, its lag taken out where that was told. */
  readonly road: Readings | null;
  /** Satellite speed beside another road speed: it tells that one's scale. */
  readonly satellite: Readings | null;
}

/** Fresh readings of the first channel of this quantity that has any. */
function readingsOf(log: Log, quantity: Quantity): Readings | null {
  let best: Readings | null = null;
  for (const channel of channelsOf(log, quantity)) {
    const { timeS, values } = freshSamples(log, channel);
    if (values.length > 0 && (best === null || values.length > best.values.length)) best = { channel, timeS, values };
  }
  return best;
}

/** Slower than this a channel has too few readings for its lag not to count. */
const fastS = 0.12;
/** A satellite speed that comes at least so often may serve for the shape of a pull, s. */
const oftenS = 0.25;
/** A lag below this is left to the fit, which allows for it. */
const leastLagS = 0.12;

/** Picks engine speed and the best road speed of a log. */
export const motionSignals: (log: Log) => MotionSignals = onceForEach((log) => {
  const engine = readingsOf(log, 'engine-speed');
  const moving = (['gps-speed', 'road-speed', 'wheel-speed'] as const).flatMap((quantity) => {
    const readings = readingsOf(log, quantity);
    return readings?.values.some((speedMps) => speedMps > 3) ? [readings] : [];
  });
  const [best] = moving.sort((a, b) => rank(a) - rank(b));
  const satellite = moving.find(({ channel }) => channel.quantity === 'gps-speed' && channel !== best?.channel);
  return {
    log,
    engine,
    road: best === undefined ? null : inTime(engine, best),
    satellite: satellite === undefined ? null : inTime(engine, satellite),
  };
});

/** A road speed with its lag behind engine speed taken out, where it is slow or from satellites and the recording tells it. */
function inTime(engine: Readings | null, speed: Readings): Readings {
  const slow = (speed.channel.refreshS?.median ?? 1) > fastS;
  if (engine === null || !(slow || speed.channel.quantity === 'gps-speed')) return speed;
  const lagS = speedLagS(engine, speed);
  return Math.abs(lagS) < leastLagS ? speed : { ...speed, timeS: speed.timeS.map((t) => t - lagS), lagS };
}

/** Satellite speed is true over ground, and first where it comes often; else what tells most of the motion, whatever its name. */
function rank(readings: Readings): number {
  const refreshS = readings.channel.refreshS?.median ?? 1;
  if (refreshS <= oftenS) return readings.channel.quantity === 'gps-speed' ? 0 : readings.channel.quantity === 'road-speed' ? 1 : 2;
  return (
    10 + refreshS * (readings.channel.quantum ** 2 / 12 + noiseMps[readings.channel.quantity === 'gps-speed' ? 'satellite' : 'own'] ** 2)
  );
}

/** Noise of one reading beside its step, m/s; common practice, no source. */
const noiseMps = { satellite: 0.15, own: 0.05 } as const;

/**
 * Linear interpolation between fresh readings, never across a gap.
 *
 * @returns NaN outside the readings or where the neighbours are further apart than `longestGapS`.
 */
export function valueAt(
  readings: { readonly timeS: Float64Array; readonly values: Float64Array },
  timeS: number,
  longestGapS: number,
): number {
  const at = lowerBound(readings.timeS, timeS);
  if (at < readings.timeS.length && readings.timeS[at] === timeS) return readings.values[at]!;
  if (at === 0 || at === readings.timeS.length) return Number.NaN;
  const t0 = readings.timeS[at - 1]!;
  const t1 = readings.timeS[at]!;
  if (t1 - t0 > longestGapS) return Number.NaN;
  const u = (timeS - t0) / (t1 - t0);
  return readings.values[at - 1]! * (1 - u) + readings.values[at]! * u;
}

/** Longest distance between two readings that may be joined: three usual refresh times, at least 0.25 s. */
export function joinableGapS(readings: Readings): number {
  return Math.max(0.25, 3 * (readings.channel.refreshS?.median ?? 0));
}

/** Engine speed on every row of the log, straight between its own readings; NaN where those lie too far apart, and everywhere where it was not logged. */
export const engineSpeedOnRows: (signals: MotionSignals) => Float64Array = onceForEach(({ log, engine }) => {
  if (engine === null) return new Float64Array(log.rows).fill(Number.NaN);
  const gapS = joinableGapS(engine);
  return log.timeS.map((timeS) => valueAt(engine, timeS, gapS));
});

/** Value below which the given share of the numbers lies; missing ones are left out, NaN where none is left. */
export function quantileOf(values: ArrayLike<number>, share: number): number {
  const known = new Float64Array(values.length);
  let count = 0;
  for (let i = 0; i < values.length; i++) if (!Number.isNaN(values[i]!)) known[count++] = values[i]!;
  // The library reads places of a list and its length, no more.
  return count === 0 ? Number.NaN : quantileSorted(known.subarray(0, count).sort() as ArrayLike<number> as readonly number[], share);
}

/** Rows of the log that a stretch covers, [from, to), in the part of the log that it lies in. */
export function rowsOf(
  log: Log,
  stretch: { readonly startS: number; readonly endS: number },
): { readonly from: number; readonly to: number } {
  for (const part of log.parts) {
    const times = log.timeS.subarray(part.from, part.to);
    const from = lowerBound(times, stretch.startS);
    const to = upperBound(times, stretch.endS);
    if (to > from) return { from: part.from + from, to: part.from + to };
  }
  return { from: 0, to: 0 };
}
