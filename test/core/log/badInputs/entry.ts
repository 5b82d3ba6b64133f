import type { Log, ReadOptions } from '@pullproof/core';
import { findChannel } from '@pullproof/core';
import { plainHeader, plainRows, textOf, utf8 } from '../fixture.js';

/** One line of the table of bad inputs: what comes in, what must come out, through the library and through the command line alike. */
export interface BadInput {
  /** Number of the line in the table; several fixtures may share one. */
  readonly id: number;
  readonly input: string;
  readonly bytes: () => Uint8Array | Iterable<Uint8Array>;
  /** Code of the error or finding, or SILENT: read without error or warning. */
  readonly outcome: string;
  readonly exit: 0 | 1;
  /** What the finding counts. */
  readonly count?: number;
  /** Where the error or finding lies, as far as it can be told. */
  readonly place?: { readonly line?: number; readonly row?: number; readonly channel?: string };
  readonly options?: Partial<ReadOptions>;
  /** What must hold of the log that was read. */
  readonly holds?: (log: Log) => boolean;
  /** True when the fixture is too large or endless for a file of the command line's test. */
  readonly libraryOnly?: true;
}

export const rpm = (log: Log) => [...findChannel(log, 'engine-speed')!.values];
export const plainRpm = plainRows().map((row) => Number(row[1]));
export const same = (a: readonly number[], b: readonly number[]) => a.length === b.length && a.every((value, i) => Object.is(value, b[i]));
export const readsPlain = (log: Log) => same(rpm(log), plainRpm);
export const named = (log: Log, name: string) => log.channels.some((channel) => channel.name === name);
export const missing = (log: Log, count: number) => log.channels.some((channel) => channel.missing === count);

/** The plain log with one cell put in place of another. */
export function withCell(row: number, column: number, cell: string): string {
  const rows = plainRows();
  rows[row]![column] = cell;
  return textOf(rows);
}

/** The plain log with every cell of one column made by a function. */
export function withColumn(column: number, cell: (i: number, old: string) => string, header?: string): string {
  const rows = plainRows();
  for (const [i, row] of rows.entries()) row[column] = cell(i, row[column]!);
  return textOf(rows, { header: plainHeader.map((name, i) => (i === column ? (header ?? name) : name)) });
}

export function withHeader(header: readonly string[], extra: (i: number) => string[] = () => []): string {
  return textOf(
    plainRows().map((row, i) => [...row, ...extra(i)]),
    { header },
  );
}

export const clock = (seconds: number) =>
  `${String(Math.floor(seconds / 3600) % 24).padStart(2, '0')}:${String(Math.floor(seconds / 60) % 60).padStart(2, '0')}:${(seconds % 60).toFixed(3).padStart(6, '0')}`;

export function lines(text: string): string[] {
  return text.split('\n');
}

export function* endless(): Generator<Uint8Array> {
  const chunk = utf8('1,2,3,4,5,6,7,8,'.repeat(4096));
  for (;;) yield chunk;
}

export const tail = (text: string, cut: number) => text.slice(0, text.length - cut);
