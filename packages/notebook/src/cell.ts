import { numberText, significantText } from '@pullproof/figures';

/** What a cell of a table may hold. */
export type Cell = string | number | boolean | null | undefined;

/** Rows by name of column, or columns and rows apart, such as the numbers of a figure. */
export type TableData = readonly Readonly<Record<string, Cell>>[] | ColumnTable;

/** A table as names of columns and rows of cells. */
export interface ColumnTable {
  readonly columns: readonly string[];
  readonly rows: readonly (readonly Cell[])[];
}

/** Any table as columns and rows; a row that lacks a column has null there. */
export function columnTable(data: TableData): ColumnTable {
  if ('columns' in data) return data;
  const columns = [...new Set(data.flatMap((row) => Object.keys(row)))];
  return { columns, rows: data.map((row) => columns.map((name) => (Object.hasOwn(row, name) ? row[name] : null))) };
}

/** A cell as people read it: whole numbers whole, others to at most five significant digits, a dash where there is nothing. */
export function cellText(cell: Cell): string {
  if (typeof cell !== 'number') return cell === null || cell === undefined ? '–' : String(cell);
  return Number.isSafeInteger(cell)
    ? numberText(cell, 0)
    : significantText(cell, 5)
        .replace(/(\.\d*?)0+$/, '$1')
        .replace(/\.$/, '');
}
