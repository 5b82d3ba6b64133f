import { type Place, PullproofError } from '../../findings/index.js';

/** What the numbers of a file say about their decimal mark. Counted over every cell that is asked about. */
export class DecimalEvidence {
  /** Cells that can only be read with a decimal comma (`0,5`, `1.234,56`), and one of them. */
  comma = 0;
  /** Cells that can only be read with a decimal point (`0.5`, `1,234.5`). */
  point = 0;
  /** `1,234`: thousands or decimals. */
  eitherComma = 0;
  /** `1.234`: thousands or decimals. */
  eitherPoint = 0;
  example = '';

  add(raw: string): void {
    const cell = raw.trim();
    const mark = lastMark(cell);
    if (mark === null || cell.length > 40) return;
    if (!/^[+-]?[\d.,'’\u00a0\u2009\u202f ]*\d?(?:[eE][+-]?\d+)?$/.test(cell) || !/\d/.test(cell)) return;
    const other = mark === ',' ? '.' : ',';
    const commas = count(cell, mark);
    const grouped = groups[mark].test(cell);
    if (commas > 1) {
      if (grouped && !cell.includes(other)) this.vote(other);
      return;
    }
    if (cell.includes(other) || !grouped) this.vote(mark);
    else if (mark === ',') {
      this.eitherComma++;
      this.example ||= cell;
    } else {
      this.eitherPoint++;
      if (this.eitherComma === 0) this.example ||= cell;
    }
  }

  private vote(mark: '.' | ','): void {
    if (mark === ',') this.comma++;
    else this.point++;
  }

  /** The decimal mark, or null while the cells seen so far allow both. Where a comma parts the columns, an unquoted one cannot be a mark. */
  settled(delimiter: string): '.' | ',' | null {
    if (this.comma > 0 && this.point > 0) {
      if (this.comma > 50 * this.point) return ',';
      return this.point > 50 * this.comma ? '.' : null;
    }
    if (this.comma > 0) return ',';
    if (this.point > 0) return '.';
    if (this.eitherComma === 0 && (this.eitherPoint === 0 || delimiter === ',')) return '.';
    return null;
  }

  refuse(where: Place): never {
    throw new PullproofError(
      'E_AMBIGUOUS_DECIMAL',
      this.comma > 0
        ? `${this.comma} numbers need a decimal comma and ${this.point} a decimal point.`
        : `numbers such as ${this.example} may have thousands or decimals, and no cell settles it.`,
      where,
      'State the decimal mark: --decimal comma or --decimal point (in the library: decimal).',
    );
  }
}

const groups: Readonly<Record<'.' | ',', RegExp>> = { ',': /^[+-]?[1-9]\d{0,2}(?:,\d{3})+$/, '.': /^[+-]?[1-9]\d{0,2}(?:\.\d{3})+$/ };

function lastMark(cell: string): '.' | ',' | null {
  const comma = cell.lastIndexOf(',');
  const point = cell.lastIndexOf('.');
  if (comma < 0 && point < 0) return null;
  return comma > point ? ',' : '.';
}

function count(text: string, character: string): number {
  let found = 0;
  for (let at = text.indexOf(character); at >= 0; at = text.indexOf(character, at + 1)) found++;
  return found;
}
