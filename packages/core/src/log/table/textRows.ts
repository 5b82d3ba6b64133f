import { type LineFields, lineFields, type Quote } from './splitLine.js';

/** One record: a row as its cells of text. */
export interface TextRecord {
  readonly cells: string[];
  /** Line on which it starts. */
  readonly line: number;
  /** Fields with a quote in their middle, or with one that is never closed. */
  readonly strayQuotes: number;
}

/** Lines and characters that one quoted cell may span. */
const longestCellLines = 200;
const longestCell = 64 * 1024;
/** So many quotes that nothing closes, and the file has no cells of several lines: none is looked for any more. */
const mostSought = 20;

/**
 * Takes text of whole lines apart into records. A cell may hold line ends where it is quoted: that is believed where the record then has the table's
 * width, and the lines by themselves do not. Any other quote that its line does not close is text, and costs that line alone.
 */
export class TextRows {
  private readonly delimiter: string;
  private readonly quote: Quote;
  private readonly width: number;
  private waiting: string[] = [];
  private sought = 0;
  /** Line end within a cell of several lines. */
  private lineEnd = '\n';
  /** Line of the file on which the next record starts. */
  line: number;

  /** @param width fields of an ordinary row */
  constructor(delimiter: string, line: number, width: number, quote: Quote = '"') {
    this.delimiter = delimiter;
    this.line = line;
    this.width = width;
    this.quote = quote;
  }

  /** True while lines wait for the end of a quoted cell. */
  get open(): boolean {
    return this.waiting.length > 0;
  }

  /** Records of whole lines; the last ones wait where a quote is still open. */
  read(block: string): TextRecord[] {
    const lines = block.split(block.includes('\r') ? /\r\n|\n|\r/ : '\n');
    lines.pop();
    this.lineEnd = block.includes('\r\n') ? '\r\n' : block.includes('\r') ? '\r' : '\n';
    return this.take(lines, false);
  }

  /** Records of what still waits: nothing follows. */
  finish(): TextRecord[] {
    return this.take([], true);
  }

  private take(more: readonly string[], last: boolean): TextRecord[] {
    const lines = [...this.waiting, ...more];
    const records: TextRecord[] = [];
    let at = 0;
    while (at < lines.length) {
      const alone = this.fields(lines[at]!);
      if (!alone.open || this.sought >= mostSought) {
        records.push(this.record(alone, 1));
        at++;
        continue;
      }
      const joined = this.joined(lines, at, alone.cells.length, last);
      if (joined === 'more') break;
      if (joined === null) this.sought++;
      records.push(this.record(joined?.fields ?? alone, joined?.lines ?? 1));
      at += joined?.lines ?? 1;
    }
    this.waiting = lines.slice(at);
    return records;
  }

  private record({ cells, stray }: LineFields, lines: number): TextRecord {
    const { line } = this;
    this.line += lines;
    return { cells, line, strayQuotes: stray };
  }

  /** Fields of a line; where a quote holds others inside and the width is wrong, its quotes are taken as text if the width is then right. */
  private fields(line: string): LineFields {
    const found = lineFields(line, this.delimiter, this.quote);
    if (found.cells.length === this.width || found.stray === 0) return found;
    const plain = lineFields(line, this.delimiter, this.quote, true);
    return plain.cells.length === this.width ? plain : found;
  }

  /** The record that a cell of several lines makes; null where there is none, `more` where later lines would tell. */
  private joined(
    lines: readonly string[],
    from: number,
    aloneWidth: number,
    last: boolean,
  ): { readonly fields: LineFields; readonly lines: number } | null | 'more' {
    let text = lines[from]!;
    for (let to = from + 1; to < from + longestCellLines; to++) {
      if (to >= lines.length) return last ? null : 'more';
      const next = lines[to]!;
      text += this.lineEnd + next;
      if (text.length > longestCell) return null;
      const own = lineFields(next, this.delimiter, this.quote);
      // A line that is a row by itself is none of a cell.
      if (this.width > 1 && own.cells.length === this.width && own.stray === 0) return null;
      const nextWidth = lineFields(next, this.delimiter, this.quote, true).cells.length;
      if (next.includes(this.quote)) {
        const fields = lineFields(text, this.delimiter, this.quote);
        if (!fields.open) {
          const twoRows = aloneWidth === this.width && nextWidth === this.width;
          return fields.cells.length === this.width && !twoRows ? { fields, lines: to - from + 1 } : null;
        }
      }
    }
    return null;
  }
}
