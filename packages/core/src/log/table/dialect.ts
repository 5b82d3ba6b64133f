import { type Place, PullproofError } from '../../findings/index.js';
import { CellReader, cellKinds } from '../text/cell.js';
import { DecimalEvidence } from './decimalMark.js';
import { delimiters, isSpaces, type Quote, splitLine } from './splitLine.js';

export interface SettledDialect {
  /** One character, or `spaces` / `wide spaces`. */
  readonly delimiter: string;
  readonly decimal: '.' | ',' | null;
  readonly quote: Quote;
  readonly evidence: string;
  readonly decimals: DecimalEvidence;
  /** Fields of an ordinary line. */
  readonly width: number;
}

export interface StatedDialect {
  readonly delimiter?: string | undefined;
  readonly decimal?: '.' | ',' | undefined;
}

interface Candidate {
  readonly delimiter: string;
  readonly width: number;
  readonly score: number;
  readonly typed: number;
  readonly steady: number;
}

/** Lines weighed one by one; of more, every n-th. The rows themselves are all checked again while they are read. */
const weighedLines = 500;

/**
 * Settles delimiter and decimal mark from the lines themselves: the delimiter under which most lines have one width and most of their cells are
 * numbers, times, states or blanks; then the decimal mark from every numeric cell.
 * The idea of scoring a dialect by the steadiness of its rows times the share of cells of a known type is that of [BURG2019].
 *
 * @param lines whole physical lines without their ends
 * @returns the dialect; `decimal` is null where these lines allow both marks
 * @throws E_DELIMITER when no delimiter gives columns
 */
export function settleDialect(lines: readonly string[], stated: StatedDialect, where: Place): SettledDialect {
  const useful = lines.filter((line) => line.trim() !== '' && !line.startsWith('#'));
  const step = Math.max(1, Math.ceil(useful.length / weighedLines));
  const sample = useful.filter((_, i) => i < 50 || i % step === 0);
  const quote = quoteOf(sample);
  const possible = stated.delimiter === undefined ? delimiters : [stated.delimiter];
  const parting = possible.map((delimiter) => weigh(sample, delimiter, quote, false));
  const candidates = parting.some(({ score }) => score > mostOfOneColumn)
    ? parting
    : possible.map((delimiter) => weigh(sample, delimiter, quote, true));
  const best = widerSpaces(
    candidates.reduce((a, b) => (b.score > a.score ? b : a)),
    candidates,
  );
  if (stated.delimiter === undefined && best.typed < 0.4 && (best.width < 2 || isSpaces(best.delimiter))) {
    throw new PullproofError(
      'E_DELIMITER',
      'no columns found: nothing (comma, semicolon, tab, pipe, spaces) separates them.',
      where,
      'State it with --delimiter (in the library: delimiter), or give a table of rows.',
    );
  }
  const first = stated.delimiter === undefined ? linesOfFirstTable(useful, best, quote) : null;
  if (first !== null) return settleDialect(first, stated, where);
  const decimals = decimalsOf(sample, best, quote);
  const all = decimals.settled(best.delimiter) === null ? decimalsOf(useful, best, quote) : decimals;
  return {
    delimiter: best.delimiter,
    decimal: stated.decimal ?? all.settled(best.delimiter),
    quote,
    width: best.width,
    decimals: all,
    evidence: evidence(best, all, sample.length, stated),
  };
}

/** Cells wrapped in single quotes, in a file without double ones, are quoted with them. */
function quoteOf(lines: readonly string[]): Quote {
  const wrapped = lines.filter((line) => /(?:^|[,;\t|])[ \t]*'[^']*'[ \t]*(?:[,;\t|]|$)/.test(line)).length;
  return wrapped > 0 && !lines.some((line) => line.includes('"')) ? "'" : '"';
}

/** So many lines above the table, most of their cells numbers, that part alike with another delimiter are a table of their own. */
const leastLinesAbove = 5;

/** The lines of a first table that has another delimiter than the rest of the file; null where there is none. */
function linesOfFirstTable(lines: readonly string[], best: Candidate, quote: Quote): readonly string[] | null {
  const start = lines.findIndex((line) => splitLine(line, best.delimiter, quote).length === best.width);
  if (start < leastLinesAbove) return null;
  const above = lines.slice(0, start);
  const others = delimiters.filter((delimiter) => !isSpaces(delimiter) && delimiter !== best.delimiter);
  const found = others.some((delimiter) => {
    const { width, typed, steady } = weigh(above.slice(0, weighedLines), delimiter, quote, false);
    return width > 1 && typed > 0.6 && steady * Math.min(above.length, weighedLines) >= leastLinesAbove;
  });
  return found ? above : null;
}

/** Where runs of two spaces part the lines as well as single ones do, single spaces belong to the names. */
function widerSpaces(best: Candidate, candidates: readonly Candidate[]): Candidate {
  const wide = candidates.find(({ delimiter }) => delimiter === 'wide spaces');
  if (best.delimiter !== 'spaces' || wide === undefined) return best;
  return wide.width === best.width && wide.typed * wide.steady >= 0.9 * best.typed * best.steady ? wide : best;
}

function decimalsOf(lines: readonly string[], { delimiter, width }: Candidate, quote: Quote): DecimalEvidence {
  const decimals = new DecimalEvidence();
  for (const line of lines) {
    // Where commas part the cells, only a quoted cell can hold one.
    if (delimiter === ',' && !line.includes(quote)) continue;
    const cells = splitLine(line, delimiter, quote);
    if (Math.abs(cells.length - width) <= 1) for (const cell of cells) decimals.add(cell);
  }
  return decimals;
}

/** A single column explains everything and nothing: any real delimiter beats it. */
const worthOfOneColumn = 1e-3;
const spareShare = 0.01;
const mostOfOneColumn = worthOfOneColumn * (1 + spareShare);

/** @param whole whether lines that are not parted count as a table of one column; left out where something parts them, as its cells are long to read */
function weigh(lines: readonly string[], delimiter: string, quote: Quote, whole: boolean): Candidate {
  const rows = lines.map((line) => splitLine(line, delimiter, quote));
  const widths = new Map<number, number>();
  for (const row of rows) widths.set(row.length, (widths.get(row.length) ?? 0) + 1);
  const point = new CellReader('.');
  const comma = new CellReader(',');
  let best: Candidate = { delimiter, width: 1, score: 0, typed: 0, steady: 0 };
  const common = [...widths].sort((a, b) => b[1] - a[1] || b[0] - a[0]).slice(0, 3);
  for (const [width, count] of common) {
    if (width === 1 && !whole) continue;
    let cells = 0;
    let typed = 0;
    for (const row of rows) {
      if (row.length !== width) continue;
      for (const cell of row) {
        cells++;
        if (hasType(cell, point, comma)) typed++;
      }
    }
    const share = typed / cells;
    const steady = count / rows.length;
    const score = steady * (share + spareShare) * (width === 1 ? worthOfOneColumn : 1);
    if (score > best.score) best = { delimiter, width, score, typed: share, steady };
  }
  return best;
}

function hasType(raw: string, point: CellReader, comma: CellReader): boolean {
  const cell = raw.trim();
  if (cell === '' || point.readNumber(cell) || comma.readNumber(cell)) return true;
  point.read(cell);
  return point.kind !== cellKinds.text;
}

function evidence(best: Candidate, decimals: DecimalEvidence, lines: number, stated: StatedDialect): string {
  const delimiter =
    stated.delimiter === undefined
      ? `${Math.round(best.steady * lines)} of ${lines} lines have ${best.width} fields, ${Math.round(best.typed * 100)}% of them numbers, times, states or blanks`
      : 'delimiter stated';
  if (stated.decimal !== undefined) return `${delimiter}; decimal mark stated`;
  const counts = `${decimals.comma} numbers need a decimal comma, ${decimals.point} a decimal point`;
  return `${delimiter}; ${best.delimiter === ',' && decimals.comma === 0 ? 'commas separate the cells, so the decimal mark is a point' : counts}`;
}
