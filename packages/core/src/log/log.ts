import type { Finding } from '../findings/index.js';
import type { Quantity } from './words/quantities.js';

/** Median and range of a duration. */
export interface Spread {
  readonly median: number;
  readonly low: number;
  readonly high: number;
}

/** One column of a log as numbers in SI, with what is known about how it was recorded. Never mutated. */
export interface Channel {
  /** Name exactly as the file has it (repaired encoding only); `Col 7` for an unnamed seventh column. */
  readonly name: string;
  /** Name before its encoding was repaired; the same as `name` where nothing was. */
  readonly originalName: string;
  /** Position of the column in the file, from 0. */
  readonly column: number;
  /** What it is; null when not recognised and not mapped. */
  readonly quantity: Quantity | null;
  /** Cylinder bank from 1, for quantities that have banks; null otherwise. */
  readonly bank: number | null;
  /** For `wheel-speed`: which wheel, such as `front-left`; null otherwise. */
  readonly position: string | null;
  /** For pressures: what zero means; null when it is not a pressure. */
  readonly reference: 'absolute' | 'gauge' | null;
  /** Unit as logged, by our own spelling (`km/h`, `kPa`, `°C`, `AFR`); empty when none was found. */
  readonly unit: string;
  /** Where quantity and unit come from. */
  readonly standing: 'stated' | 'recognised' | 'guessed' | 'unknown';
  /** Why it was recognised so, in words for people. */
  readonly evidence: string;
  /** SI values, one a row; NaN where missing. For an unrecognised channel: the numbers as logged. */
  readonly values: Float64Array;
  /** 1 where the row brings a new reading of this channel, 0 where the logger only repeats the last one (or the cell is blank). */
  readonly fresh: Uint8Array;
  /** How `fresh` is known, in words for people. */
  readonly freshBy: string;
  /** Time between fresh readings, s; null with fewer than two. */
  readonly refreshS: Spread | null;
  /** Smallest step between different values, SI; 0 where no regular step was found. */
  readonly quantum: number;
  /** Cells that hold no usable number. */
  readonly missing: number;
}

/** How the text was taken apart, and why. */
export interface Dialect {
  readonly delimiter: string;
  readonly decimal: '.' | ',';
  readonly encoding: string;
  readonly quote: string;
  /** What settled it, in words for people. */
  readonly evidence: string;
}

/** A log as the rest of Pullproof sees it: one time axis, channels in SI, findings about the data. */
export interface Log {
  readonly path: string;
  readonly dialect: Dialect;
  /** Rows of data kept. */
  readonly rows: number;
  /** Rows of data that could not be used. */
  readonly rowsDropped: number;
  /** Time of each row from the first one, s, never falling: after a restart of the logger whole thousands of seconds later than its stamps say. */
  readonly timeS: Float64Array;
  /** Row number in the file's data for each kept row; the first row below the header is 1. */
  readonly rowNumbers: Uint32Array;
  /** How time was read, in words for people. */
  readonly timeEvidence: string;
  /** Step of the time stamps where it is coarse against the sampling, s; 0 where it is not. */
  readonly timeTickS: number;
  /** Gaps longer than this part the recording, s. */
  readonly maxGapS: number;
  /** Comment lines among the rows. */
  readonly commentRows: number;
  /** Parts between restarts of the logger, clock jumps and gaps, as index ranges [from, to) into the rows. Nothing may be joined across them. */
  readonly parts: readonly { readonly from: number; readonly to: number }[];
  readonly channels: readonly Channel[];
  /** Lines above the header, kept as provenance. */
  readonly preamble: readonly string[];
  readonly findings: readonly Finding[];
}
