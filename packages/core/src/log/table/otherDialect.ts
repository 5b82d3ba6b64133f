import { CellReader, cellKinds } from '../text/cell.js';
import { lineFields } from './splitLine.js';

/** A row that does not fit the table. */
export interface OddRow {
  readonly cells: readonly string[];
  readonly line: number;
}

/** So many rows in a run, and another delimiter is no chance. */
const leastRows = 5;
const delimiters: readonly string[] = [',', ';', '\t', '|'];

/** Rows that fit no column of this table, but all part alike with another delimiter, are another table: a logger whose setting was changed. */
export class OtherDialect {
  private readonly delimiter: string;
  private readonly reader = new CellReader('.');
  private readonly comma = new CellReader(',');
  private held: OddRow[] = [];
  private other = '';
  private width = 0;
  private numeric = 0;

  constructor(delimiter: string) {
    this.delimiter = delimiter;
  }

  /** Takes a row that does not fit. Gives the rows that are nothing of the kind after all, and the line on which another table starts once that is sure. */
  take(row: OddRow): { readonly released: readonly OddRow[]; readonly tableLine: number | null } {
    const text = row.cells.join(this.delimiter);
    let released: readonly OddRow[] = [];
    if (this.held.length > 0 && !this.goesOn(text)) released = this.release();
    if (this.held.length === 0 && !this.begins(text)) return { released: [...released, row], tableLine: null };
    this.held.push(row);
    if (this.isNumeric(text)) this.numeric++;
    const sure = this.held.length >= leastRows && this.numeric >= this.held.length - 1;
    return { released, tableLine: sure ? this.held[0]!.line : null };
  }

  /** The rows that were held back: a row that fits follows, or nothing. */
  release(): readonly OddRow[] {
    const rows = this.held;
    this.held = [];
    this.numeric = 0;
    return rows;
  }

  private begins(text: string): boolean {
    for (const delimiter of delimiters) {
      if (delimiter === this.delimiter || !text.includes(delimiter)) continue;
      this.other = delimiter;
      this.width = lineFields(text, delimiter).cells.length;
      return true;
    }
    return false;
  }

  private goesOn(text: string): boolean {
    return lineFields(text, this.other).cells.length === this.width;
  }

  /** True when most fields under the other delimiter are numbers or times. */
  private isNumeric(text: string): boolean {
    const fields = lineFields(text, this.other).cells;
    const numbers = fields.filter((field) => {
      this.reader.read(field);
      return this.reader.kind !== cellKinds.text || this.comma.readNumber(field.trim());
    });
    return numbers.length > 0.6 * fields.length;
  }
}
