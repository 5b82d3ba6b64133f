import type { TimeUnit } from './time/timeColumn.js';

/** What a user may state about a log. Whatever is stated is not guessed. */
export interface ReadOptions {
  /** Path as the user wrote it, for messages and the result. */
  readonly path: string;
  /** One character, or `spaces` for runs of spaces. */
  readonly delimiter?: string | undefined;
  readonly decimal?: '.' | ',' | undefined;
  /** utf-8, windows-1252, utf-16le or utf-16be. */
  readonly encoding?: string | undefined;
  /** Unit of a bare number in the time column. */
  readonly timeUnit?: TimeUnit | undefined;
  /** Rows a second, for a log without a time column, Hz. */
  readonly rateHz?: number | undefined;
  /** Column name, or `Col 7`, to quantity [unit] [abs | gauge] [bank n], or `ignore`. */
  readonly channels?: ReadonlyMap<string, string> | undefined;
  /** Quantities or column names to keep; all when left out. Time is always kept. */
  readonly only?: readonly string[] | undefined;
  /** Air-fuel ratio that the gauge calls lambda 1. Default 14.7. */
  readonly gaugeStoich?: number | undefined;
  /** Length of the source where chunks do not tell it, bytes: memory is then set aside once. */
  readonly sizeBytes?: number | undefined;
  /** Most cells (rows times columns kept) held in memory. Default 400 million. */
  readonly maxCells?: number | undefined;
  /** Which of several tables in one file, from 1. */
  readonly table?: number | undefined;
  /** Longest step that still counts as continuous, s. Default: the larger of 1 s and five times the usual step. */
  readonly maxGapS?: number | undefined;
}
