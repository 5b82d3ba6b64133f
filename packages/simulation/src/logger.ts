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

/** How a log is recorded and written. */
export interface Logger {
  readonly channels: readonly LoggedChannel[];
  /** Rows per second. */
  readonly rateHz: number;
  /** Half-width of the even spread of the sampling instants, s; the time written is the true one. */
  readonly jitterS?: number;
  /** Half-width of the even spread of the error of the time written, s. */
  readonly stampErrorS?: number;
  /** Step of the time written, s. */
  readonly stampStepS?: number;
  readonly stampRounding?: 'nearest' | 'down';
  /** One channel read per row in turn; what stands in the other cells. */
  readonly polled?: 'held' | 'blank';
  /** Share of rows that begin a gap, and how many rows are lost in each. */
  readonly dropouts?: { readonly share: number; readonly rows: number };
  readonly dialect: {
    readonly delimiter: ',' | ';' | '\t' | '|';
    readonly decimal: '.' | ',';
    readonly lineEnd: '\n' | '\r\n';
    /** Lines above the header. */
    readonly preamble?: readonly string[];
    readonly timeHeader: string;
    /** Row of units below the header; the time's unit. */
    readonly timeUnit?: string;
    readonly unitsRow?: boolean;
    readonly timeDecimals: number;
    /** Written time per second: 1 for s, 1000 for ms. */
    readonly timeScale?: number;
    /** Time written on the first row, s. */
    readonly timeOriginS?: number;
  };
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
function numberText(value: number, decimals: number, comma: boolean): string {
  let text = value.toFixed(decimals);
  if (text.startsWith('-') && Number(text) === 0) text = text.slice(1);
  return comma ? text.replace('.', ',') : text;
}

/**
 * Records a drive with a logger and writes the text of the file.
 *
 * Each reading is lag, then unit, gain, noise, wandering error, ends of the scale and step, in this order. Time runs evenly at `rateHz` with jitter; the written time may have an
 * error and a step of its own.
 *
 * @throws RangeError for a channel the drive does not have, or jitter so large that rows could change places.
 */
export function sampleLog(drive: Drive, logger: Logger, random: Random): string {
  const { dialect, rateHz, jitterS = 0, stampErrorS = 0, stampStepS = 0, stampRounding = 'nearest' } = logger;
  if (2 * jitterS + 2 * stampErrorS >= 1 / rateHz)
    throw new RangeError(`jitter of ${jitterS + stampErrorS} s can swap rows at ${rateHz} Hz`);
  const { stepS } = drive;
  const sensors = logger.channels.map((channel) => {
    const truth = drive.channels.get(channel.source);
    if (truth === undefined) throw new RangeError(`the drive has no channel ${channel.source}: ${[...drive.channels.keys()].join(', ')}`);
    const values = channel.lagS === undefined ? truth : lagged(truth, channel.lagS, stepS);
    const wandered = channel.wander === undefined ? 0 : channel.wander.spread * random.normal();
    return { ...channel, values, nextS: 0, text: '', wandered, readS: 0 };
  });
  const endS = (drive.samples - 1) * stepS;
  const comma = dialect.decimal === ',';
  const read = (sensor: (typeof sensors)[number], timeS: number): string => {
    const place = Math.min(Math.max(timeS / stepS, 0), drive.samples - 1);
    const i = Math.min(Math.floor(place), drive.samples - 2);
    const a = sensor.values[i]!;
    const si = a + (sensor.values[i + 1]! - a) * (place - i);
    let value = (sensor.written === undefined ? si : sensor.written(si)) * (sensor.gain ?? 1);
    if (sensor.noise !== undefined && sensor.noise > 0 && !(sensor.silentAtZero === true && si === 0))
      value += sensor.noise * random.normal();
    if (sensor.wander !== undefined) {
      const keep = Math.exp(-(timeS - sensor.readS) / sensor.wander.timeS);
      sensor.wandered = keep * sensor.wandered + Math.sqrt(1 - keep * keep) * sensor.wander.spread * random.normal();
      sensor.readS = timeS;
      value += sensor.wandered;
    }
    if (sensor.scale !== undefined) value = Math.min(Math.max(value, sensor.scale[0]), sensor.scale[1]);
    if (sensor.step !== undefined) {
      const steps = value / sensor.step;
      value = (sensor.rounding === 'down' ? Math.floor(steps) : Math.round(steps)) * sensor.step;
    }
    return numberText(value, sensor.decimals, comma);
  };
  const lines = [...(dialect.preamble ?? []), [dialect.timeHeader, ...sensors.map((s) => s.header)].join(dialect.delimiter)];
  if (dialect.unitsRow === true) lines.push([dialect.timeUnit ?? '', ...sensors.map((s) => s.unit ?? '')].join(dialect.delimiter));
  let lost = 0;
  const rows = Math.floor(endS * rateHz) + 1;
  for (let row = 0; row < rows; row++) {
    const jitter = jitterS > 0 ? jitterS * (2 * random.uniform() - 1) : 0;
    const timeS = Math.min(Math.max(row / rateHz + jitter, 0), endS);
    const cells: string[] = [];
    for (let c = 0; c < sensors.length; c++) {
      const sensor = sensors[c]!;
      const due =
        logger.polled === undefined ? sensor.rateHz === undefined || timeS >= sensor.nextS : row % sensors.length === c || row === 0;
      if (due) {
        sensor.text = read(sensor, timeS);
        if (sensor.rateHz !== undefined) while (sensor.nextS <= timeS) sensor.nextS += 1 / sensor.rateHz;
      }
      cells.push(due || logger.polled !== 'blank' ? sensor.text : '');
    }
    if (logger.dropouts !== undefined && lost === 0 && random.uniform() < logger.dropouts.share) lost = logger.dropouts.rows;
    if (lost > 0) {
      lost--;
      continue;
    }
    let stampS = timeS + (dialect.timeOriginS ?? 0) + (stampErrorS > 0 ? stampErrorS * (2 * random.uniform() - 1) : 0);
    if (stampStepS > 0)
      stampS = (stampRounding === 'down' ? Math.floor(stampS / stampStepS + 1e-9) : Math.round(stampS / stampStepS)) * stampStepS;
    cells.unshift(numberText(stampS * (dialect.timeScale ?? 1), dialect.timeDecimals, comma));
    lines.push(cells.join(dialect.delimiter));
  }
  return lines.join(dialect.lineEnd) + dialect.lineEnd;
}
