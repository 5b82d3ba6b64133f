import { type Place, PullproofError } from '../../findings/index.js';
import { findUnit } from '../../units/index.js';
import { type CellReader, cellKinds } from '../text/cell.js';
import type { Quantity } from '../words/quantities.js';

/** Where in the first records the table starts. */
export interface Layout {
  /** Records to pass over before the first row of data. */
  readonly dataRecord: number;
  /** Names, one a column; empty for an unnamed one. */
  readonly names: readonly string[];
  /** Unit texts of a units row; empty where there is none. */
  readonly units: readonly string[];
  readonly preamble: readonly string[];
  /** Records between the names and the data that are neither units nor comments. */
  readonly between: readonly number[];
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
  readonly between: readonly number[];
}

/** What the names of a table are asked for. */
export interface NameReader {
  /** The quantity that a name means; null where it means none. */
  readonly quantityOf: (name: string) => Quantity | null;
  /** True where columns are mapped by position, so that a table without names can be used. */
  readonly byPosition: boolean;
}

/** Records passed over between a header and its first row of data, at most. */
const mostBetween = 20;
/** Rows below a header that are looked at. */
const rowsSeen = 50;

/**
 * Finds preamble, header, units row and first data row among the first records, by the evidence of the whole: which columns hold numbers is seen from the rows
 * below, and a row of data is one with numbers in those columns. Of the rows of words above them the header is the one whose names mean most.
 *
 * @throws E_NO_HEADER, E_NO_ROWS
 */
export function findLayout(records: readonly HeadRecord[], reader: CellReader, names: NameReader, where: Place): Layout {
  const known: Kind[] = [];
  const kinds = (i: number): Kind => (known[i] ??= kindOf(records[i]!, reader));
  const candidates: Found[] = [];
  let end = records.length;
  for (let i = 0; i < end && candidates.length <= 20; i++) {
    if (kinds(i) !== 'words' && kinds(i) !== 'comment') continue;
    const found = headerAt(records, kinds, i, reader, names);
    if (found === null) continue;
    candidates.push(found);
    // A header that names a time and stands on rows of its own: only what lies between it and its rows may still be the better one.
    if (found.timed && found.rows >= 2) end = Math.min(end, found.data);
  }
  const best = bestOf(candidates, records, names);
  if (best !== null) return layoutOf(records, best, names);
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
      'found neither names nor rows of numbers.',
      where,
      'Give a log with one name above each column.',
    );
  }
  const width = records[data]!.cells.length;
  if (!names.byPosition) {
    throw new PullproofError(
      'E_NO_HEADER',
      `the ${width} columns of numbers have no names above them.`,
      where,
      'Say what the columns are by position: --channel "Col 1=time s" --channel "Col 2=engine-speed rpm" (in a trial: channels: { "Col 1": time s }).',
    );
  }
  return {
    dataRecord: data,
    names: Array.from({ length: width }, () => ''),
    units: [],
    preamble: texts(records.slice(0, data)),
    between: [],
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

/** The best of the candidates: in file order the first that names a time above two rows or more, else the one with most meaning and rows. */
function bestOf(candidates: readonly Found[], records: readonly HeadRecord[], names: NameReader): Found | null {
  const sure = candidates.find(({ timed, rows }) => timed && rows >= 2);
  const [first] = candidates;
  if (first === undefined) return null;
  const rank = (found: Found): number => meaningOf(namesOf(records[found.header]!), names);
  if (sure !== undefined) return mostMeaning(candidates.filter(({ data }) => data === sure.data));
  const standing = candidates.filter(({ rows }) => rows >= 2);
  return standing.length > 0 ? mostMeaning(standing) : (candidates.find(({ timed }) => timed) ?? first);

  /** Of several with as much meaning the last one above the same rows: titles stand above names. */
  function mostMeaning(some: readonly Found[]): Found {
    return some.reduce((a, b) => (rank(b) > rank(a) || (rank(b) === rank(a) && b.data === a.data) ? b : a));
  }
}

/** Words of programs for what a column holds, and marks of a channel in a logger: no names. */
const noName =
  /^(?:[-=_*~.\s]*|(?=.*\d)(?:0x)?[\da-f]{1,6}h?|(?:pid|id|ch|col)[\s_:.#-]*\d[\da-fx]*|u?int\d*|integer|float\d*|double|real|bool(?:ean)?|string|char|numeric|enum|min(?:imum)?|max(?:imum)?|[\d.,]+\s*hz|error|n\/?a)$/i;

/** How much a row of names means: names that are known count most, then different words. */
function meaningOf(cells: readonly string[], { quantityOf }: NameReader): number {
  const words = new Set(cells.map((cell) => cell.trim()).filter((cell) => cell !== '' && !noName.test(cell)));
  let meaning = words.size;
  const quantities = new Set<Quantity>();
  for (const word of words) {
    const quantity = quantityOf(word);
    if (quantity !== null) quantities.add(quantity);
  }
  meaning += 3 * quantities.size;
  return meaning;
}

function headerAt(
  records: readonly HeadRecord[],
  kinds: (i: number) => Kind,
  at: number,
  reader: CellReader,
  names: NameReader,
): Found | null {
  const header = namesOf(records[at]!);
  const width = trimmedWidth(header);
  const numeric = numericColumns(records, kinds, at, header.length, width, reader);
  const isData = (i: number): boolean => fits(records[i]!.cells, header.length, width) && holdsNumbers(records[i]!.cells, numeric, reader);
  let units: number | null = null;
  const between: number[] = [];
  // A row of numbers of another width is a row of data that lost or won a field.
  let misshapen: number | null = null;
  let next = following(records.length, kinds, at);
  while (next !== null && !isData(next)) {
    const { cells } = records[next]!;
    if (units === null && isUnitsRow(cells, kinds(next))) units = next;
    else if (kinds(next) === 'data' && cells.length > 1) misshapen ??= next;
    else between.push(next);
    if (between.length > mostBetween) next = null;
    else next = following(records.length, kinds, next);
  }
  if (next === null) {
    // No row has its width: a header all the same where numbers stand right below it, and nothing better is found.
    const below = following(records.length, kinds, at);
    const data = below !== null && isUnitsRow(records[below]!.cells, kinds(below)) ? following(records.length, kinds, below) : below;
    const bare = data !== null && (kinds(data) === 'data' || (kinds(data) === 'mixed' && width > 1));
    if (!bare || kinds(at) === 'comment' || width < 2) return null;
    return { header: at, units: data === below ? null : below, data, rows: 0, timed: false, between: [] };
  }
  let rows = 0;
  let misfits = 0;
  for (let i: number | null = next; i !== null && rows < rowsSeen && misfits <= rows + 2; i = following(records.length, kinds, i)) {
    if (isData(i)) rows++;
    else misfits++;
  }
  const timed = header.some((name) => names.quantityOf(name) === 'time');
  const data = misshapen ?? next;
  return { header: at, units, data, rows, timed, between: between.filter((i) => i < data) };
}

/** Columns of which most cells below a header are numbers, times or states. */
function numericColumns(
  records: readonly HeadRecord[],
  kinds: (i: number) => Kind,
  at: number,
  fields: number,
  named: number,
  reader: CellReader,
): readonly number[] {
  const values = new Uint32Array(fields + 1);
  const present = new Uint32Array(fields + 1);
  let seen = 0;
  for (let i = following(records.length, kinds, at); i !== null && seen < rowsSeen; i = following(records.length, kinds, i)) {
    const { cells } = records[i]!;
    if (!fits(cells, fields, named)) continue;
    seen++;
    for (const [c, cell] of cells.entries()) {
      reader.read(cell);
      if (reader.kind === cellKinds.blank || reader.kind === cellKinds.missing) continue;
      present[c]!++;
      if (reader.kind !== cellKinds.text) values[c]!++;
    }
  }
  return [...values.keys()].filter((c) => values[c]! > 0 && 2 * values[c]! >= present[c]!);
}

/** True for a row with a number in the columns that hold numbers, and with no more words than numbers there. */
function holdsNumbers(cells: readonly string[], numeric: readonly number[], reader: CellReader): boolean {
  let values = 0;
  let words = 0;
  for (const c of numeric) {
    reader.read(cells[c] ?? '');
    if (reader.kind === cellKinds.text) words++;
    else if (reader.kind !== cellKinds.blank && reader.kind !== cellKinds.missing) values++;
  }
  return values > 0 && values >= words;
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

function layoutOf(records: readonly HeadRecord[], found: Found, reader: NameReader): Layout {
  const units = found.units === null ? [] : records[found.units]!.cells;
  const joined = overTwoRows(records, found, reader);
  const top = Math.min(found.header, joined?.other ?? found.header);
  return {
    dataRecord: found.data,
    names: joined?.names ?? namesOf(records[found.header]!),
    units,
    preamble: texts(records.slice(0, top)),
    between: found.between.filter((i) => i !== joined?.other),
    hasHeader: true,
  };
}

/** Names that stand one half above the other: the two rows joined, where that means more than either alone. */
function overTwoRows(
  records: readonly HeadRecord[],
  { header, between }: Found,
  { quantityOf }: NameReader,
): { readonly names: readonly string[]; readonly other: number } | null {
  const names = namesOf(records[header]!);
  const meant = (cells: readonly string[]) =>
    new Set(cells.map((cell) => quantityOf(cell.trim())).filter((quantity) => quantity !== null)).size;
  for (const other of [header - 1, header + 1]) {
    const cells = records[other]?.cells;
    if (cells === undefined || cells.length !== names.length || (other > header && !between.includes(other))) continue;
    const [upper, lower] = other < header ? [namesOf(records[other]!), names] : [names, cells];
    const joined = upper.map((cell, i) => `${cell.trim()} ${lower[i]!.trim()}`.trim());
    if (meant(joined) > Math.max(meant(upper), meant(lower))) return { names: joined, other };
  }
  return null;
}

function texts(records: readonly HeadRecord[]): string[] {
  return records.map((record) => record.text).filter((text) => text.trim() !== '');
}
