import { createRequire } from 'node:module';
import { PullproofError } from '@pullproof/core';
import { type Cell, type ColumnTable, columnTable, type TableData } from './cell.js';

/**
 * What we use of a DataFrame of danfo.js: for looking, never for computing, as its arithmetic is of single precision.
 *
 * Its own types stand behind an `exports` map that the notebook's compiler cannot read; this is the part that a notebook needs.
 */
export interface Frame {
  /** Names of the columns as the frame knows them; {@link frameNames} tells which was renamed. */
  readonly columns: string[];
  readonly shape: [rows: number, columns: number];
  readonly values: Cell[][];
  head(rows?: number): Frame;
  tail(rows?: number): Frame;
  sortValues(column: string, options?: { readonly ascending?: boolean }): Frame;
  iloc(where: { readonly rows?: readonly (number | string | boolean)[]; readonly columns?: readonly (number | string)[] }): Frame;
  groupby(columns: readonly string[]): FrameGroups;
}

/** Rows of a frame by the value of columns. */
export interface FrameGroups {
  col(columns: readonly string[]): { count(): Frame; max(): Frame; min(): Frame };
}

interface FrameLibrary {
  readonly DataFrame: new (rows: readonly (readonly Cell[])[], options: { readonly columns: readonly string[] }) => Frame;
}

let library: FrameLibrary | null | undefined;

/** danfo.js where it is installed, else null: it is optional. */
function frameLibrary(): FrameLibrary | null {
  if (library === undefined) {
    const load = createRequire(import.meta.url);
    try {
      library = load('danfojs') as FrameLibrary;
    } catch (cause) {
      if ((cause as NodeJS.ErrnoException).code !== 'MODULE_NOT_FOUND') throw cause;
      library = null;
    }
  }
  return library;
}

/**
 * A table as a DataFrame of danfo.js, to sort, group and look at.
 *
 * @param data rows by name, columns and rows apart, or the numbers of a figure
 * @returns the frame; names that would hide a part of the frame itself, such as `shape` or `values`, have ` column` behind them
 * @throws E_NO_FRAMES where danfo.js is not installed
 */
export function frame(data: TableData): Frame {
  const found = frameLibrary();
  if (found === null) {
    throw new PullproofError(
      'E_NO_FRAMES',
      'danfo.js is not installed, and with it there are no frames.',
      {},
      'Install it (npm ci does, unless optional dependencies are left out), or show the rows themselves with table.',
    );
  }
  const { columns, rows } = columnTable(data);
  // A copy: a frame holds on to the rows that it is given.
  return new found.DataFrame(
    rows.map((row) => columns.map((_, at) => row[at] ?? null)),
    { columns: frameNames(columns, found.DataFrame.prototype) },
  );
}

/**
 * Names that columns may have in a frame, which has a property for each of them: those that would hide one of its own get ` column` behind, doubles a number.
 *
 * @param names as they come
 * @param own what must not be hidden; the prototype of a frame
 * @returns names in the same order, all different
 */
export function frameNames(names: readonly string[], own: object): string[] {
  const taken = new Set<string>();
  return names.map((name) => {
    const inert = name === '' || name.startsWith('$') || name in own ? `${name === '' ? 'unnamed' : name} column` : name;
    let free = inert;
    for (let count = 2; taken.has(free) || free in own; count++) free = `${inert} ${count}`;
    taken.add(free);
    return free;
  });
}

/** True for a frame, false for rows. */
export function isFrame(data: Frame | TableData): data is Frame {
  return 'sortValues' in data;
}

/** What a frame holds, as columns and rows. */
export function tableOfFrame(shown: Frame): ColumnTable {
  return { columns: [...shown.columns], rows: shown.values };
}
