import type { Drive } from './drive.js';
import type { Random } from './random.js';
import { type LoggedChannel, numberText, sensorOn } from './sensor.js';

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

/**
 * Records a drive with a logger and writes the text of the file.
 *
 * Time runs evenly at `rateHz` with jitter; the written time may have an
 * error and a step of its own.
 *
 * @throws RangeError for a channel the drive does not have, or jitter so large that rows could change places.
 */
export function sampleLog(drive: Drive, logger: Logger, random: Random): string {
  const { dialect, rateHz, jitterS = 0, stampErrorS = 0, stampStepS = 0, stampRounding = 'nearest' } = logger;
  if (2 * jitterS + 2 * stampErrorS >= 1 / rateHz)
    throw new RangeError(`jitter of ${jitterS + stampErrorS} s can swap rows at ${rateHz} Hz`);
  const comma = dialect.decimal === ',';
  const sensors = logger.channels.map((channel) => ({ ...sensorOn(drive, channel, random, comma), nextS: 0, text: '' }));
  const endS = (drive.samples - 1) * drive.stepS;
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
        sensor.text = sensor.read(timeS);
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
