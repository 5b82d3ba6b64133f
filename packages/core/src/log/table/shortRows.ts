import { type CellReader, cellKinds } from '../text/cell.js';

/** What a row that leaves out the blanks at its end looks like in this file. */
export interface ShortRows {
  /** Longest text of each column in whole rows. A cell that is longer may be two that grew together. */
  readonly longest: readonly number[];
}

/** So many rows, and such a share of all, must leave out blanks at their end for that to be the way of the file. */
const leastRows = 3;
const leastShare = 0.05;

/**
 * Tells from the first rows whether this file's rows leave out the blanks at their end: several do, whole rows hold no blanks there, and what the short ones
 * hold fits the columns from the left. Where single rows are short they may have lost a delimiter anywhere, and nothing is said.
 */
export function shortRowsOf(rows: readonly (readonly string[])[], width: number, reader: CellReader): ShortRows | null {
  const whole = rows.filter(({ length }) => length === width);
  const short = rows.filter(({ length }) => length >= 2 && length < width);
  if (short.length < leastRows || short.length < leastShare * rows.length || whole.length < leastRows) return null;
  const blankAtEnd = whole.filter((cells) => cells[width - 1]!.trim() === '').length;
  if (blankAtEnd > 0.02 * whole.length) return null;
  const longest = Array.from({ length: width }, (_, c) => Math.max(...whole.map((cells) => cells[c]!.trim().length)));
  const isNumber = (cell: string): boolean => {
    reader.read(cell);
    return reader.kind !== cellKinds.text;
  };
  const numeric = Array.from({ length: width }, (_, c) => whole.every((cells) => isNumber(cells[c]!)));
  const fitting = short.filter((cells) => fitsShort(cells, { longest }) && cells.every((cell, c) => !numeric[c] || isNumber(cell))).length;
  return fitting >= 0.9 * short.length ? { longest } : null;
}

/** True when no cell of a short row is longer than its column ever is. */
export function fitsShort(cells: readonly string[], { longest }: ShortRows): boolean {
  return cells.every((cell, c) => cell.trim().length <= longest[c]!);
}
