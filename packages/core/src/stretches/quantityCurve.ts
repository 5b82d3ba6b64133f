import type { Channel, Log } from '../log/index.js';
import { lowerBound } from '../maths/index.js';
import { engineSpeedOnRows, type MotionSignals, type Readings, readingsBetween, valueAt } from './signals.js';
import type { Pull } from './stretch.js';

/** A pull with the signals it was found in. */
export interface LocatedPull {
  readonly log: Log;
  readonly signals: MotionSignals;
  readonly pull: Pull;
}

/** Readings of one channel in the used parts of one pull, each with the engine speed at its own time. */
export interface PullReadings {
  readonly timeS: Float64Array;
  readonly engineSpeedRpm: Float64Array;
  readonly values: Float64Array;
}

/**
 * Fresh readings of a channel in the used parts of a pull, paired with engine speed interpolated to their own times.
 *
 * @returns Readings in order of time; those without an engine speed near enough are left out.
 */
export function pullReadings({ log, signals, pull }: LocatedPull, channel: Channel): PullReadings {
  const rpmOnRows = engineSpeedOnRows(signals);
  const spans = pull.spans.map((span) => readingsBetween(log, channel, span.fromS, span.toS));
  const most = spans.reduce((sum, { rows }) => sum + rows.length, 0);
  const [timeS, rpm, values] = [new Float64Array(most), new Float64Array(most), new Float64Array(most)];
  let count = 0;
  for (const samples of spans) {
    for (let i = 0; i < samples.rows.length; i++) {
      const at = rpmOnRows[samples.rows[i]!]!;
      if (Number.isNaN(at)) continue;
      timeS[count] = samples.timeS[i]!;
      rpm[count] = at;
      values[count++] = samples.values[i]!;
    }
  }
  return { timeS: timeS.subarray(0, count), engineSpeedRpm: rpm.subarray(0, count), values: values.subarray(0, count) };
}

/**
 * Value of readings at given engine speeds: the triangle-weighted mean within `halfWidthRpm`, else straight between the two neighbours.
 *
 * @param readings From {@link pullReadings}.
 * @param gridRpm Engine speeds, rising.
 * @returns One value a grid point; NaN outside the readings and where neighbours are more than 400 rpm apart.
 */
function onEngineSpeed(readings: PullReadings, gridRpm: Float64Array, halfWidthRpm = 75): Float64Array {
  const order = Uint32Array.from(readings.engineSpeedRpm.keys()).sort((a, b) => readings.engineSpeedRpm[a]! - readings.engineSpeedRpm[b]!);
  const rpm = new Float64Array(order.length);
  const values = new Float64Array(order.length);
  for (const [place, i] of order.entries()) {
    rpm[place] = readings.engineSpeedRpm[i]!;
    values[place] = readings.values[i]!;
  }
  return gridRpm.map((at) => {
    let weight = 0;
    let sum = 0;
    let count = 0;
    for (let i = lowerBound(rpm, at - halfWidthRpm); i < rpm.length && rpm[i]! <= at + halfWidthRpm; i++) {
      const w = 1 - Math.abs(rpm[i]! - at) / halfWidthRpm + 1e-9;
      weight += w;
      sum += w * values[i]!;
      count++;
    }
    if (rpm.length === 0 || at < rpm[0]! - halfWidthRpm / 2 || at > rpm[rpm.length - 1]! + halfWidthRpm / 2) return Number.NaN;
    if (count >= 2) return sum / weight;
    return valueAt({ timeS: rpm, values } satisfies Pick<Readings, 'timeS' | 'values'>, at, 400);
  });
}

/** A quantity against engine speed over several pulls. */
export interface QuantityCurve {
  readonly engineSpeedRpm: Float64Array;
  /** Mean over the pulls that have a value; NaN where none has. */
  readonly mean: Float64Array;
  /** Standard deviation between pulls, pooled over neighbouring points; NaN with fewer than two pulls. */
  readonly pullToPull: Float64Array;
  readonly pulls: readonly Float64Array[];
  /** Pulls with a value at each point. */
  readonly count: Uint16Array;
}

/**
 * Mean of a channel over pulls at equal engine speed.
 *
 * @param pulls Pulls of one setup, with the channel to use in each (null where the log has none).
 * @param gridRpm Engine speeds.
 * @returns Null when no pull has the channel.
 */
export function quantityCurve(
  pulls: readonly (LocatedPull & { readonly channel: Channel | null })[],
  gridRpm: Float64Array,
): QuantityCurve | null {
  const curves = pulls.filter((pull) => pull.channel !== null).map((pull) => onEngineSpeed(pullReadings(pull, pull.channel!), gridRpm));
  return curves.length === 0 ? null : meanOfCurves(curves, gridRpm);
}

/**
 * Mean of several pulls' curves on one grid, and how far the pulls lie apart.
 *
 * @param curves One for each pull, values on the grid, NaN where it has none.
 * @param gridRpm Engine speeds.
 * @returns Mean and pooled standard deviation between pulls at each point.
 */
export function meanOfCurves(curves: readonly Float64Array[], gridRpm: Float64Array): QuantityCurve {
  const points = gridRpm.length;
  const mean = new Float64Array(points);
  const variance = new Float64Array(points);
  const count = new Uint16Array(points);
  for (let i = 0; i < points; i++) {
    const present = curves.map((curve) => curve[i]!).filter((value) => !Number.isNaN(value));
    count[i] = present.length;
    mean[i] = present.length === 0 ? Number.NaN : present.reduce((sum, value) => sum + value, 0) / present.length;
    variance[i] = present.length < 2 ? Number.NaN : present.reduce((sum, value) => sum + (value - mean[i]!) ** 2, 0) / (present.length - 1);
  }
  const pullToPull = variance.map((_, i) => {
    let sum = 0;
    let seen = 0;
    for (let j = Math.max(0, i - 3); j <= Math.min(points - 1, i + 3); j++) {
      if (Number.isNaN(variance[j]!)) continue;
      sum += variance[j]!;
      seen++;
    }
    return seen === 0 ? Number.NaN : Math.sqrt(sum / seen);
  });
  return { engineSpeedRpm: gridRpm, mean, pullToPull, pulls: curves, count };
}
