import { type Finding, type Place, PullproofError } from '../findings/index.js';
import { buildChannels } from './channel/buildChannels.js';
import type { Log } from './log.js';
import type { ReadOptions } from './readOptions.js';
import { DecimalEvidence } from './table/decimalMark.js';
import { readTable } from './table/readTable.js';
import { type SettledTable, settleTable } from './table/settleTable.js';
import { NextTable, Table } from './table/table.js';
import { wholeDecimals } from './table/wholeDecimals.js';
import { afterLines } from './text/blocks.js';
import { type LogSource, type Rewindable, rewindable } from './text/bytes.js';
import { asciiCompatible } from './text/encoding.js';
import { type Head, readHead, readLaterHead } from './text/headText.js';
import { readLimits } from './text/limits.js';
import { chooseTimeColumn } from './time/chooseTime.js';

/**
 * Reads a log: bytes, encoding, dialect, header, units and time settled by the file's own evidence, columns as numbers in SI with what is known of each.
 *
 * What was guessed stands in `dialect.evidence`, `timeEvidence` and each channel's `evidence`; anything can be stated instead. Blanks stay NaN, gaps part
 * the recording, nothing is sorted or filled. After a restart of the logger times go on, later than its stamps say.
 *
 * @param source all bytes, or chunks of them; chunks that can be walked again are not kept in memory
 * @param options path for messages, and whatever is to be stated instead of guessed
 * @returns the log; defects that can be lived with are in its `findings`
 * @throws PullproofError where the file cannot be read for sure: E_EMPTY, E_NO_ROWS, E_TOO_FEW_SAMPLES, E_DELIMITER, E_AMBIGUOUS_DECIMAL,
 * E_MULTI_TABLE, E_NO_HEADER, E_AMBIGUOUS_CHANNEL, E_CHANNEL, E_TOO_MANY_COLUMNS, E_TIME_ORDER, E_TIME_UNIT, E_NO_TIME, E_LINE_TOO_LONG, E_TOO_LARGE,
 * E_COMPRESSED, E_SPREADSHEET, E_NOT_TEXT, E_ENCODING
 *
 * Validity: text of rows; the limits are in `readLimits`.
 *
 * @example
 * ```ts
 * import { readLog } from '@pullproof/core';
 * const text = 'Time (s),Engine speed (rpm)\n0.00,2000\n0.04,2010\n0.08,2021\n';
 * const log = readLog(Uint8Array.from(text, (c) => c.charCodeAt(0)), { path: 'pull.csv' });
 * log.rows; // => 3
 * log.channels[1]?.quantity; // => 'engine-speed'
 * ```
 */
export function readLog(source: LogSource, options: ReadOptions): Log {
  const where: Place = { path: options.path };
  const raw = rewindable(source);
  const first = readHead(raw, options.encoding, where);
  const sizeBytes = options.sizeBytes ?? (source instanceof Uint8Array ? source.length : 0);
  if (options.table !== undefined && options.table > 1) raw.keep();
  const compatible: Rewindable = { ...raw, chunks: () => asciiCompatible(raw.chunks(), first.encoding) };
  let { table } = options;
  let linesAbove = 0;
  let head = first;
  for (;;) {
    const from = rewindable({ [Symbol.iterator]: () => afterLines(compatible.chunks(), linesAbove) });
    if (linesAbove > 0) head = readLaterHead(from, first.encoding, where);
    try {
      return readFrom({ ...from, keep: raw.keep }, head, { ...options, table, sizeBytes }, linesAbove, where);
    } catch (error) {
      if (!(error instanceof NextTable)) throw error;
      linesAbove = error.line - 1;
      table = table === undefined ? undefined : table - 1;
    }
  }
}

function readFrom(source: Rewindable, head: Head, options: ReadOptions, linesAbove: number, where: Place): Log {
  const settled = settleTable(head, options, linesAbove, where);
  const { dialect } = settled;
  let decimal = dialect.decimal;
  if (decimal === null) {
    source.keep();
    const evidence = wholeDecimals(source.chunks(), dialect, where);
    decimal = evidence.settled(dialect.delimiter) ?? evidence.refuse(where);
  }
  // The start of the file holds no number with a mark: a later one may still need a comma.
  const open = options.decimal === undefined && decimal === '.' && dialect.delimiter !== ',' && dialect.decimals.point === 0;
  if (open) source.keep();
  const first = readRows(source.chunks(), settled, head, options, decimal, linesAbove, where);
  if (open && needsComma(first.table)) {
    return finish(readRows(source.chunks(), settled, head, options, ',', linesAbove, where), settled, head, options, ',', where);
  }
  return finish(first, settled, head, options, decimal, where);
}

interface Rows {
  readonly table: Table;
  readonly timeColumn: number;
  readonly findings: readonly Finding[];
}

function readRows(
  chunks: Iterable<Uint8Array>,
  settled: SettledTable,
  head: Head,
  options: ReadOptions,
  decimal: '.' | ',',
  linesAbove: number,
  where: Place,
): Rows {
  const timeColumn = chooseTimeColumn(settled, options.rateHz, where);
  const { columns, dialect } = settled;
  const { only } = options;
  const wanted = (i: number): boolean => {
    if (only === undefined || i === timeColumn) return true;
    const { name, originalName, named, stated } = columns[i]!;
    const quantity = stated === null ? named.match?.quantity : stated.quantity;
    return only.includes(name) || only.includes(originalName) || (quantity !== undefined && quantity !== null && only.includes(quantity));
  };
  const table = new Table({
    names: settled.headerCells,
    decimal,
    delimiter: dialect.delimiter,
    kept: wanted,
    clocks: new Set([timeColumn]),
    table: options.table,
    shortRows: settled.shortRows,
    maxCells: options.maxCells ?? readLimits.cells,
    expectedRows: expectedRows(head, options.sizeBytes ?? 0),
    where,
  });
  for (const line of settled.skippedText) table.notes.textRow(line);
  const read = readTable(chunks, table, {
    delimiter: dialect.delimiter,
    decimal,
    quote: dialect.quote,
    fields: dialect.width,
    western: head.encoding.encoding === 'windows-1252',
    skipLines: settled.skipLines,
    linesAbove,
    where,
  });
  return { table, timeColumn, findings: [...read, ...table.finish()] };
}

/** Rows that a file of this length holds if its lines go on as they begin, and two in a hundred more; 0 when unknown. */
function expectedRows(head: Head, sizeBytes: number): number {
  if (sizeBytes === 0) return 0;
  const lines = head.text.split('\n').length;
  return Math.ceil((1.02 * sizeBytes * lines) / Math.max(1, head.text.length)) + 16;
}

function finish(rows: Rows, settled: SettledTable, head: Head, options: ReadOptions, decimal: '.' | ',', where: Place): Log {
  const { table, timeColumn } = rows;
  if (table.rows === 0) {
    throw new PullproofError(
      'E_NO_ROWS',
      'there is a header, but no row of data that fits it.',
      where,
      'Record again, or give the file that holds the rows.',
    );
  }
  if (table.rows < (table.dataRow - table.notes.nulRows) / 2) {
    throw new PullproofError(
      'E_DELIMITER',
      `only ${table.rows} of ${table.dataRow} rows have the header's ${table.width} fields.`,
      where,
      'State the delimiter, or export again.',
    );
  }
  const built = buildChannels(table, settled.columns, timeColumn, options, where);
  const encoding = head.encoding.finding === null ? [] : [head.encoding.finding];
  return {
    path: options.path,
    dialect: {
      delimiter: settled.dialect.delimiter,
      decimal,
      encoding: head.encoding.encoding,
      quote: settled.dialect.quote,
      evidence: `${settled.dialect.evidence}; ${head.encoding.encoding}: ${head.encoding.evidence}`,
    },
    ...built,
    commentRows: table.notes.comments,
    preamble: settled.preamble,
    findings: [...encoding, ...settled.findings, ...rows.findings, ...built.findings],
  };
}

/** True when cells that were no numbers need a decimal comma, and no number anywhere had a decimal point. */
function needsComma(table: Table): boolean {
  const evidence = new DecimalEvidence();
  for (const column of table.columns) for (const text of column.texts.keys()) evidence.add(text);
  return evidence.comma > 0 && evidence.point === 0 && !table.sawFraction;
}
