import type { Drive } from './drive.js';
import type { Random } from './random.js';

/** How one channel is measured and written. Noise and step are in the unit written. */
export interface LoggedChannel {
  /** Name in the header, with its unit where the dialect writes it there. */
  readonly header: string;
  /** Unit for a row of units under the header. */
  readonly unit?: string;
  /** Channel of the drive. */
  readonly source: string;
  /** From the drive's SI value to the unit written. */
  readonly written?: (value: number) => number;
  /** Scale error of the sensor, 1 for none; acts on the written value. */
  readonly gain?: number;
  /** Age of what is read, s: the value was true so long ago. 0 when left out. */
  readonly lateS?: number;
  /** Time constant of a first-order lag. */
  readonly lagS?: number;
  /** Standard deviation of normal noise, before the step. */
  readonly noise?: number;
  /** An error that wanders: standard deviation, and the time in which it forgets itself (first-order Gauss–Markov). */
  readonly wander?: { readonly spread: number; readonly timeS: number };
  /** True for a sensor that counts pulses: no pulses, no noise. */
  readonly silentAtZero?: boolean;
  /** Smallest step the logger can tell apart. */
  readonly step?: number;
  readonly rounding?: 'nearest' | 'down';
  /** Ends of the sensor's scale, in the unit written; a reading beyond stands at the end. */
  readonly scale?: readonly [low: number, high: number];
  /** Readings per second where the channel is slower than the rows; the last reading is held between. */
  readonly rateHz?: number;
  readonly decimals: number;
}

/** A channel after the sensor's lag, on the drive's grid. Exact for a value that changes on a straight line within a step. */
function lagged(values: Float64Array, lagS: number, stepS: number): Float64Array {
  const keep = Math.exp(-stepS / lagS);
  const slopeShare = lagS * (1 - keep);
  const out = new Float64Array(values.length);
  out[0] = values[0]!;
  for (let i = 1; i < values.length; i++) {
    const slope = (values[i]! - values[i - 1]!) / stepS;
    out[i] = out[i - 1]! * keep + values[i - 1]! * (1 - keep) + slope * (stepS - slopeShare);
  }
  return out;
}

/** Text with a fixed number of decimals and no minus before a zero. */
export function numberText(value: number, decimals: number, comma: boolean): string {
  let text = value.toFixed(decimals);
  if (text.startsWith('-') && Number(text) === 0) text = text.slice(1);
  return comma ? text.replace('.', ',') : text;
}

/** A channel as it is read from a drive: true value, lag, unit, gain, noise, wandering error, ends of the scale and step, in this order. */
export interface Sensor extends LoggedChannel {
  /** The reading as it is written, at a time of the drive. Readings are asked for in order of time. */
  readonly read: (timeS: number) => string;
}

/**
 * A sensor on a drive.
 *
 * @throws RangeError for a channel that the drive does not have.
 */
export function sensorOn(drive: Drive, channel: LoggedChannel, random: Random, comma: boolean): Sensor {
  const truth = drive.channels.get(channel.source);
  if (truth === undefined) throw new RangeError(`the drive has no channel ${channel.source}: ${[...drive.channels.keys()].join(', ')}`);
  const { stepS, samples } = drive;
  const values = channel.lagS === undefined ? truth : lagged(truth, channel.lagS, stepS);
  let wandered = channel.wander === undefined ? 0 : channel.wander.spread * random.normal();
  let readS = 0;
  const read = (timeS: number): string => {
    const place = Math.min(Math.max((timeS - (channel.lateS ?? 0)) / stepS, 0), samples - 1);
    const i = Math.min(Math.floor(place), samples - 2);
    const a = values[i]!;
    const si = a + (values[i + 1]! - a) * (place - i);
    let value = (channel.written === undefined ? si : channel.written(si)) * (channel.gain ?? 1);
    if (channel.noise !== undefined && channel.noise > 0 && !(channel.silentAtZero === true && si === 0))
      value += channel.noise * random.normal();
    if (channel.wander !== undefined) {
      const keep = Math.exp(-(timeS - readS) / channel.wander.timeS);
      wandered = keep * wandered + Math.sqrt(1 - keep * keep) * channel.wander.spread * random.normal();
      readS = timeS;
      value += wandered;
    }
    if (channel.scale !== undefined) value = Math.min(Math.max(value, channel.scale[0]), channel.scale[1]);
    if (channel.step !== undefined) {
      const steps = value / channel.step;
      value = (channel.rounding === 'down' ? Math.floor(steps) : Math.round(steps)) * channel.step;
    }
    return numberText(value, channel.decimals, comma);
  };
  return { ...channel, read };
}
