import { type Place, PullproofError } from '../../findings/index.js';
import { findUnit } from '../../units/index.js';
import { type CellReader, cellKinds } from '../text/cell.js';

/** Where in the first records the table starts. */
export interface Layout {
  /** Records to pass over before the first row of data. */
  readonly dataRecord: number;
  /** Names, one a column; empty for an unnamed one. */
  readonly names: readonly string[];
  /** Unit texts of a units row; empty where there is none. */
  readonly units: readonly string[];
  readonly preamble: readonly string[];
  readonly hasHeader: boolean;
}

export interface HeadRecord {
  readonly cells: readonly string[];
  /** The record as one text, for the preamble. */
  readonly text: string;
}

interface Found {
  readonly header: number;
  readonly units: number | null;
  readonly data: number;
  readonly rows: number;
  readonly timed: boolean;
}

/**
 * Finds preamble, header, units row and first data row among the first records.
 * The header is the record of words with rows of its own width below it; among several, the one that names a time, then the first with two rows or more.
 *
 * @param namesTime tells whether a name reads as time
 * @param mayLackHeader true where columns are mapped by position, so that a table without names can be used
 * @throws E_NO_HEADER, E_NO_ROWS
 */
export function findLayout(
  records: readonly HeadRecord[],
  reader: CellReader,
  namesTime: (name: string) => boolean,
  mayLackHeader: boolean,
  where: Place,
): Layout {
  const known: Kind[] = [];
  const kinds = (i: number): Kind => (known[i] ??= kindOf(records[i]!, reader));
  const candidates: Found[] = [];
  for (let i = 0; i < records.length; i++) {
    if (kinds(i) !== 'words' && kinds(i) !== 'comment') continue;
    const found = headerAt(records, kinds, i, namesTime);
    if (found !== null) candidates.push(found);
    if (candidates.length > 20 || (found !== null && isSure(found))) break;
  }
  const best = candidates.find(isSure) ?? candidates.find((c) => c.timed) ?? candidates.find((c) => c.rows >= 2) ?? candidates[0];
  if (best !== undefined) return layoutOf(records, best);
  const all = records.map((_, i) => kinds(i));
  const data = all.indexOf('data');
  if (data < 0) {
    if (all.includes('words')) {
      throw new PullproofError(
        'E_NO_ROWS',
        'there is a header, but no row of data below it.',
        where,
        'Record again, or give the file that holds the rows.',
      );
    }
    throw new PullproofError(
      'E_NO_HEADER',
      'neither a header nor rows of numbers were found.',
      where,
      'Give a log with one name above each column.',
    );
  }
  if (!mayLackHeader) {
    throw new PullproofError(
      'E_NO_HEADER',
      `no names stand above the ${records[data]!.cells.length} columns of numbers.`,
      where,
      'Say what the columns are by position, for example channels: { "Col 1": time s, "Col 2": engine-speed rpm }.',
    );
  }
  const width = records[data]!.cells.length;
  return {
    dataRecord: data,
    names: Array.from({ length: width }, () => ''),
    units: [],
    preamble: texts(records.slice(0, data)),
    hasHeader: false,
  };
}

type Kind = 'blank' | 'comment' | 'words' | 'data' | 'mixed';

function kindOf(record: HeadRecord, reader: CellReader): Kind {
  if (record.cells.every((cell) => cell.trim() === '')) return 'blank';
  if (record.cells[0]!.trimStart().startsWith('#')) return 'comment';
  let values = 0;
  let words = 0;
  for (const cell of record.cells) {
    reader.read(cell);
    if (reader.kind === cellKinds.text) words++;
    else if (reader.kind === cellKinds.state) values += 0.5;
    else if (reader.kind !== cellKinds.blank && reader.kind !== cellKinds.missing) values++;
  }
  if (values === 0) return words > 0 ? 'words' : 'mixed';
  return values >= words ? 'data' : values <= 0.34 * words && words >= 2 ? 'words' : 'mixed';
}

/** A header that names a time and stands on rows of its own: no later one is taken instead. */
function isSure({ timed, rows }: Found): boolean {
  return timed && rows >= 2;
}

function headerAt(
  records: readonly HeadRecord[],
  kinds: (i: number) => Kind,
  at: number,
  namesTime: (name: string) => boolean,
): Found | null {
  const names = namesOf(records[at]!);
  const width = trimmedWidth(names);
  let next = following(records.length, kinds, at);
  let units: number | null = null;
  if (next !== null && isUnitsRow(records[next]!.cells, kinds(next))) {
    units = next;
    next = following(records.length, kinds, next);
  }
  if (next === null || !(kinds(next) === 'data' || (kinds(next) === 'mixed' && width > 1))) return null;
  let rows = 0;
  for (let i: number | null = next; i !== null && rows < 50; i = following(records.length, kinds, i)) {
    const cells = records[i]!.cells;
    if (kinds(i) === 'words' || !fits(cells, names.length, width)) break;
    rows++;
  }
  if (rows === 0 && (kinds(at) === 'comment' || width < 2)) return null;
  return { header: at, units, data: next, rows, timed: names.some(namesTime) };
}

function following(count: number, kinds: (i: number) => Kind, at: number): number | null {
  for (let i = at + 1; i < count; i++) if (kinds(i) !== 'blank' && kinds(i) !== 'comment') return i;
  return null;
}

/** True when a row has the header's width, with or without a delimiter at its end. */
function fits(cells: readonly string[], fields: number, named: number): boolean {
  return cells.length === fields || cells.length === named || (cells.length === named + 1 && cells[named]!.trim() === '');
}

/** A record of words of which at least half of those present are units. */
export function isUnitsRow(cells: readonly string[], kind: string): boolean {
  if (kind === 'data') return false;
  const present = cells.map((cell) => cell.trim()).filter((cell) => cell !== '');
  if (present.length === 0) return false;
  const units = present.filter((cell) => findUnit(cell) !== null || /^[[({].*[\])}]$/.test(cell) || /^h+:?mm/i.test(cell));
  return units.length * 2 >= present.length;
}

function namesOf(record: HeadRecord): string[] {
  const [first = '', ...rest] = record.cells;
  return [first.trimStart().startsWith('#') ? first.replace(/^\s*#+\s*/, '') : first, ...rest];
}

function trimmedWidth(cells: readonly string[]): number {
  let width = cells.length;
  while (width > 0 && cells[width - 1]!.trim() === '') width--;
  return width;
}

function layoutOf(records: readonly HeadRecord[], found: Found): Layout {
  const units = found.units === null ? [] : records[found.units]!.cells;
  return {
    dataRecord: found.data,
    names: namesOf(records[found.header]!),
    units,
    preamble: texts(records.slice(0, found.header)),
    hasHeader: true,
  };
}

function texts(records: readonly HeadRecord[]): string[] {
  return records.map((record) => record.text).filter((text) => text.trim() !== '');
}
