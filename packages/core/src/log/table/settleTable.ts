import { type Finding, type Place, PullproofError } from '../../findings/index.js';
import type { ReadOptions } from '../readOptions.js';
import { CellReader, cellKinds } from '../text/cell.js';
import type { Head } from '../text/headText.js';
import { repairedText } from '../text/mojibake.js';
import { shownName } from '../text/shownName.js';
import { type NamedColumn, parseName } from '../words/nameAndUnit.js';
import { readStatedChannel, type StatedChannel } from '../words/statedChannel.js';
import { type SettledDialect, settleDialect } from './dialect.js';
import { headerNames } from './headerNames.js';
import { findLayout, type HeadRecord } from './layout.js';
import { leadingRows } from './leadingRows.js';
import { type ShortRows, shortRowsOf } from './shortRows.js';
import { TextRows } from './textRows.js';

/** One column as its header says. */
export interface HeadColumn {
  readonly name: string;
  readonly originalName: string;
  readonly named: NamedColumn;
  readonly stated: StatedChannel | null;
}

/** Everything that is known before the rows are read. */
export interface SettledTable {
  readonly dialect: SettledDialect;
  readonly columns: readonly HeadColumn[];
  /** Names as the file has them, to know a repeated header by. */
  readonly headerCells: readonly string[];
  readonly preamble: readonly string[];
  /** Lines above the first row of data, counted from the start of the table. */
  readonly skipLines: number;
  /** Lines between the names and the data that hold neither, counted from the start of the file. */
  readonly skippedText: readonly number[];
  /** How rows that leave out blanks at their end are known; null where the file has none. */
  readonly shortRows: ShortRows | null;
  /** Cells of the first rows, to see what a column holds. */
  readonly firstRows: readonly (readonly string[])[];
  readonly findings: readonly Finding[];
}

const headRecords = 800;

/** Settles dialect, preamble, header and units row from the start of a table. `linesAbove`: lines of the file above it. */
export function settleTable(head: Head, options: ReadOptions, linesAbove: number, where: Place): SettledTable {
  let text = head.text.replaceAll('\0', '');
  let skipped = linesAbove;
  const separator = /^"?sep=(.)"?[^\S\r\n]*(?:\r\n|\n|\r)/i.exec(text);
  if (separator !== null) {
    text = text.slice(separator[0].length);
    skipped++;
  }
  const { lines, firstText } = linesOf(text);
  const delimiter = options.delimiter ?? separator?.[1];
  const dialect = settleDialect(lines, { delimiter, decimal: options.decimal }, where);
  const texts = new TextRows(dialect.delimiter, skipped + 1, dialect.width, dialect.quote);
  const read = [...texts.read(firstText), ...texts.finish()];
  const records: HeadRecord[] = read.map(({ cells, line }) => ({ cells, text: lines[line - skipped - 1] ?? '' }));
  const stated = options.channels ?? new Map<string, string>();
  const quantityOf = memoized((name: string) =>
    statedFor(stated, name, -1)?.startsWith('time') === true ? 'time' : (parseName(repairedText(name), '').match?.quantity ?? null),
  );
  const byPosition = [...stated.keys()].some((key) => /^Col \d+$/.test(key));
  const reader = new CellReader(dialect.decimal ?? '.');
  const layout = findLayout(records, reader, { quantityOf, byPosition }, where);
  const timeColumn = layout.names.findIndex((name) => quantityOf(name) === 'time');
  const lead = leadingRows(records, layout.dataRecord, timeColumn, reader);
  const dataRecord = layout.dataRecord + lead;
  const firstRows = rowsOfFirstTable(records, dataRecord);
  const given = headerNames(layout.names, firstRows, { quantityOf, byPosition }, where);
  const width = settledWidth(given.names, firstRows, reader, where);
  const names = given.names.slice(0, width);
  const findings: Finding[] = [...given.findings];
  noteDuplicates(names, where, findings);
  const columns = names.map((original, i): HeadColumn => {
    const repaired = repairedText(original);
    const name = repaired.trim() === '' ? `Col ${i + 1}` : repaired;
    const text = statedFor(stated, original, i) ?? statedFor(stated, repaired, i);
    return {
      name,
      originalName: original,
      named: parseName(repaired.trim(), repairedText(given.split ? '' : (layout.units[i] ?? ''))),
      stated: text === undefined ? null : readStatedChannel(text, name, where),
    };
  });
  refuseUnknownKeys(stated, columns, where);
  const openQuote = layout.hasHeader && layout.names.some((name) => name.trimStart().startsWith(dialect.quote));
  if (openQuote) {
    findings.push({
      code: 'W_QUOTE',
      severity: 'warning',
      message: 'a name of the header begins with a quote that is never closed; the quote was taken as part of the name.',
      where,
      fix: 'Check that every column has its own name.',
      count: 1,
    });
  }
  const dataLine = read[dataRecord]?.line ?? skipped + 1;
  const between = [...layout.between, ...Array.from({ length: lead }, (_, i) => layout.dataRecord + i)];
  return {
    dialect,
    columns,
    headerCells: names,
    preamble: layout.preamble,
    skipLines: dataLine - 1 - linesAbove,
    skippedText: between.map((i) => read[i]!.line),
    shortRows: shortRowsOf(firstRows, width, reader),
    firstRows,
    findings,
  };
}

function memoized<Answer>(work: (text: string) => Answer): (text: string) => Answer {
  const known = new Map<string, Answer>();
  return (text) => {
    if (!known.has(text)) known.set(text, work(text));
    return known.get(text)!;
  };
}

/** Lines without their ends, and the first of them as they stand. The text ends with a line end. */
function linesOf(text: string): { readonly lines: string[]; readonly firstText: string } {
  const lines = text.split(text.includes('\r') ? /\r\n|\n|\r/ : '\n');
  lines.pop();
  let end = 0;
  for (const line of lines.slice(0, headRecords)) end += line.length + (text.startsWith('\r\n', end + line.length) ? 2 : 1);
  return { lines, firstText: text.slice(0, end) };
}

/** Rows from the first one of data up to the next row of words. */
function rowsOfFirstTable(records: readonly HeadRecord[], from: number): (readonly string[])[] {
  const reader = new CellReader('.');
  const comma = new CellReader(',');
  const isWord = (cell: string) => {
    reader.read(cell);
    return reader.kind === cellKinds.text && !comma.readNumber(cell.trim());
  };
  const all = records.slice(from, from + 200).map((record) => record.cells);
  const whole = all[0]?.length ?? 0;
  // A run of rows that this delimiter does not separate belongs to another table.
  const apart = all.findIndex((_, i) => whole > 1 && i + 5 <= all.length && all.slice(i, i + 5).every(({ length }) => length === 1));
  const rows = apart < 0 ? all : all.slice(0, apart);
  const end = rows.findIndex(
    (cells, i) => i > 0 && cells.length > 1 && cells.every((cell) => cell.trim() === '' || isWord(cell)) && cells.some(isWord),
  );
  return end < 0 ? rows : rows.slice(0, end);
}

/** Number of columns: the header's names, less unnamed ones at the end that hold nothing. */
function settledWidth(names: readonly string[], rows: readonly (readonly string[])[], reader: CellReader, where: Place): number {
  const used = (cells: readonly string[]) => {
    let count = cells.length;
    while (count > 0 && cells[count - 1]!.trim() === '') count--;
    return count;
  };
  const named = used(names);
  const widest = new Map<number, number>();
  for (const row of rows) widest.set(row.length, (widest.get(row.length) ?? 0) + 1);
  const [usual] = [...widest].sort((a, b) => b[1] - a[1])[0] ?? [names.length];
  if (usual < named && shortRowsOf(rows, named, reader) !== null) return named;
  const filled = rows.filter((row) => row.length === usual).reduce((most, row) => Math.max(most, used(row)), 0);
  if (filled > names.length || usual < named) {
    throw new PullproofError(
      'E_DELIMITER',
      `most rows have ${usual} fields, the header has ${names.length} names, so it is unclear which name belongs to which column.`,
      where,
      'State the delimiter (--delimiter semicolon), quote decimal commas where the comma also separates the columns, or name the columns by position: --channel "Col 1=time s" (in a trial: channels: { "Col 1": time s }).',
    );
  }
  return Math.max(named, filled, names.length === 0 ? usual : Math.min(names.length, named));
}

function noteDuplicates(names: readonly string[], where: Place, findings: Finding[]): void {
  const counts = new Map<string, number>();
  for (const name of names) if (name.trim() !== '') counts.set(name, (counts.get(name) ?? 0) + 1);
  for (const [name, count] of counts) {
    if (count < 2) continue;
    findings.push({
      code: 'W_DUPLICATE_NAME',
      severity: 'warning',
      message: `${count} columns are called "${shownName(name)}"; all are kept.`,
      where: { ...where, channel: name },
      fix: 'Say by position what each is, for example channels: { "Col 3": lambda bank 2 }.',
      count,
    });
  }
}

function statedFor(stated: ReadonlyMap<string, string>, name: string, column: number): string | undefined {
  return stated.get(name) ?? stated.get(name.trim()) ?? stated.get(`Col ${column + 1}`);
}

function refuseUnknownKeys(stated: ReadonlyMap<string, string>, columns: readonly HeadColumn[], where: Place): void {
  for (const key of stated.keys()) {
    const called = columns.filter(
      ({ name, originalName }, i) => name === key || originalName === key || originalName.trim() === key || key === `Col ${i + 1}`,
    );
    if (called.length === 0) {
      throw new PullproofError(
        'E_CHANNEL',
        `no column is called "${shownName(key)}".`,
        { ...where, channel: key },
        `Use a name of the header, or its position as "Col 7". Names: ${columns
          .slice(0, 40)
          .map(({ name }) => shownName(name))
          .join(', ')}.`,
      );
    }
    if (called.length > 1) {
      throw new PullproofError(
        'E_AMBIGUOUS_CHANNEL',
        `${called.length} columns are called "${shownName(key)}".`,
        { ...where, channel: key },
        'Use the position, as "Col 7".',
      );
    }
  }
}
