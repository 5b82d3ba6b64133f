import type { Channel, Log } from '../log/index.js';
import { onceForEach } from '../log/index.js';
import { lowerBound } from '../maths/index.js';
import { engineSpeedOnRows, type MotionSignals, readingsBetween, valueAt } from './signals.js';
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

interface Entry {
  readonly readings: PullReadings;
  /** Readings in order of engine speed, and their values by grid point so far. */
  readonly grid: GridValues;
}

/** The table of readings, pull by pull and channel by channel; a place is filled when it is first asked for. */
const channelsOfPull = onceForEach((_: Pull) => new WeakMap<Channel, Entry>());

function entryOf(located: LocatedPull, channel: Channel): Entry {
  const row = channelsOfPull(located.pull);
  let entry = row.get(channel);
  if (entry === undefined) {
    const readings = readingsOf(located, channel);
    entry = { readings, grid: new GridValues(readings) };
    row.set(channel, entry);
  }
  return entry;
}

/**
 * Fresh readings of a channel in the used parts of a pull, paired with engine speed interpolated to their own times.
 *
 * @returns Readings in order of time; those without an engine speed near enough are left out.
 */
export function pullReadings(located: LocatedPull, channel: Channel): PullReadings {
  return entryOf(located, channel).readings;
}

/**
 * Value of a channel in a pull at given engine speeds: the triangle-weighted mean of readings within 75 rpm, else straight between the two
 * neighbours.
 *
 * @param gridRpm Engine speeds, rising.
 * @returns One value a grid point; NaN outside the readings and where neighbours are more than 400 rpm apart.
 */
export function pullValues(located: LocatedPull, channel: Channel, gridRpm: Float64Array): Float64Array {
  const { grid } = entryOf(located, channel);
  const out = new Float64Array(gridRpm.length);
  for (let i = 0; i < out.length; i++) out[i] = grid.at(gridRpm[i]!);
  return out;
}

function readingsOf({ log, signals, pull }: LocatedPull, channel: Channel): PullReadings {
  const rpmOnRows = engineSpeedOnRows(signals);
  const spans = pull.spans.map((span) => readingsBetween(log, channel, span.fromS, span.toS));
  let most = 0;
  for (const { rows } of spans) most += rows.length;
  const timeS = new Float64Array(most);
  const rpm = new Float64Array(most);
  const values = new Float64Array(most);
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

/** Grids stand on multiples of this, so that pulls meet at the same points. */
const gridStepRpm = 50;
/** How far readings reach along the grid. */
const reachRpm = 75;
/** Further apart than this two readings are not joined. */
const longestGapRpm = 400;

class GridValues {
  private readonly rpm: Float64Array;
  private readonly values: Float64Array;
  /** Values on multiples of the grid's step from `first` on; what is not worked out yet is marked by `known`. */
  private readonly first: number;
  private readonly cells: Float64Array;
  private readonly known: Uint8Array;

  constructor({ engineSpeedRpm, values }: PullReadings) {
    const order = risingOrder(engineSpeedRpm);
    this.rpm = order === null ? engineSpeedRpm : new Float64Array(order.length);
    this.values = order === null ? values : new Float64Array(order.length);
    if (order !== null) {
      for (let place = 0; place < order.length; place++) {
        this.rpm[place] = engineSpeedRpm[order[place]!]!;
        this.values[place] = values[order[place]!]!;
      }
    }
    const count = this.rpm.length;
    this.first = count === 0 ? 0 : Math.ceil((this.rpm[0]! - reachRpm / 2) / gridStepRpm);
    const last = count === 0 ? -1 : Math.floor((this.rpm[count - 1]! + reachRpm / 2) / gridStepRpm);
    const cells = Math.max(0, last - this.first + 1);
    this.cells = new Float64Array(cells);
    this.known = new Uint8Array(cells);
  }

  at(rpm: number): number {
    const place = rpm / gridStepRpm - this.first;
    if (!(place >= 0 && place < this.cells.length) || !Number.isInteger(place)) return this.worked(rpm);
    if (this.known[place] === 0) {
      this.cells[place] = this.worked(rpm);
      this.known[place] = 1;
    }
    return this.cells[place]!;
  }

  private worked(at: number): number {
    const { rpm, values } = this;
    const readings = rpm.length;
    if (readings === 0 || at < rpm[0]! - reachRpm / 2 || at > rpm[readings - 1]! + reachRpm / 2) return Number.NaN;
    let weight = 0;
    let sum = 0;
    let count = 0;
    for (let i = lowerBound(rpm, at - reachRpm); i < readings && rpm[i]! <= at + reachRpm; i++) {
      const w = 1 - Math.abs(rpm[i]! - at) / reachRpm + 1e-9;
      weight += w;
      sum += w * values[i]!;
      count++;
    }
    return count >= 2 ? sum / weight : valueAt({ timeS: rpm, values }, at, longestGapRpm);
  }
}

/** Places of the readings in order of engine speed; null where they stand in it already. */
function risingOrder(rpm: Float64Array): Uint32Array | null {
  let rising = true;
  for (let i = 1; i < rpm.length && rising; i++) rising = rpm[i - 1]! <= rpm[i]!;
  if (rising) return null;
  const order = new Uint32Array(rpm.length);
  for (let i = 0; i < order.length; i++) order[i] = i;
  return order.sort((a, b) => rpm[a]! - rpm[b]!);
}
