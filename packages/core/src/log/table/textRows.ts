import Papa from 'papaparse';
import { type Place, PullproofError } from '../../findings/index.js';
import { readLimits } from '../text/limits.js';
import { isSpaces, tabbed } from './splitLine.js';

/** One record as papaparse took it apart, told the dialect. */
export interface TextRecord {
  readonly cells: string[];
  /** Line on which it starts. */
  readonly line: number;
  /** Fields with a quote in their middle. */
  readonly strayQuotes: number;
}

/**
 * Takes text of whole lines apart into records with papaparse, which is told delimiter, quote and line end and guesses nothing.
 * A record whose quote is still open waits for the next text.
 */
export class TextRows {
  private readonly delimiter: string;
  private readonly where: Place;
  private pending = '';
  /** Line of the file on which the next record starts. */
  line: number;

  constructor(delimiter: string, line: number, where: Place) {
    this.delimiter = delimiter;
    this.line = line;
    this.where = where;
  }

  /** True while a quote is open. */
  get open(): boolean {
    return this.pending !== '';
  }

  /** @throws E_QUOTE when an open quote passes the limit of a record */
  read(block: string): TextRecord[] {
    const whole = this.pending + (isSpaces(this.delimiter) ? tabbed(block, this.delimiter) : block);
    const newline = lineEnd(whole);
    const text = newline === null ? whole.replace(/\r\n?/g, '\n') : whole;
    const parser = new Papa.Parser({
      delimiter: isSpaces(this.delimiter) ? '\t' : this.delimiter,
      newline: newline ?? '\n',
      quoteChar: '"',
      header: false,
      dynamicTyping: false,
    });
    const result = parser.parse(text, 0, true) as { data: string[][]; errors: { row?: number }[]; meta: { cursor: number } };
    this.pending = text.slice(result.meta.cursor);
    if (this.pending.length > readLimits.lineBytes) this.unterminated();
    const malformed = new Map<number, number>();
    for (const { row } of result.errors) if (row !== undefined) malformed.set(row, (malformed.get(row) ?? 0) + 1);
    return result.data.map((cells, row) => {
      const line = this.line;
      let stray = malformed.get(row) ?? 0;
      this.line++;
      for (const cell of cells) {
        const broken = cell.includes('\n') || cell.includes('\r');
        if (broken) this.line += this.spanned(cell, cells.length, line);
        else if (cell.includes('"') && !text.includes(`"${cell.replaceAll('"', '""')}"`)) stray++;
      }
      return { cells, line, strayQuotes: stray };
    });
  }

  /** Says where the quote was opened that the end of the file leaves open. */
  finish(): void {
    if (this.open) this.unterminated();
  }

  /** Lines that a quoted field spans beyond its first. A field that holds whole rows is a quote that was never closed. */
  private spanned(cell: string, fields: number, line: number): number {
    const inner = cell.split(/\r\n|\n|\r/);
    const delimiter = isSpaces(this.delimiter) ? '\t' : this.delimiter;
    if (fields > 1 && inner.slice(1, -1).some((text) => text.split(delimiter).length >= fields)) this.unterminated(line);
    return inner.length - 1;
  }

  private unterminated(line: number = this.line): never {
    throw new PullproofError(
      'E_QUOTE',
      'a quote is opened here and never closed, so what follows cannot be told apart.',
      { ...this.where, line },
      'Close or take out the quote on this line.',
    );
  }
}

/** The one line end of a text, or null when it has several kinds. */
function lineEnd(text: string): '\n' | '\r\n' | '\r' | null {
  const crlf = text.includes('\r\n');
  if (!text.includes('\r')) return '\n';
  const lone = /\r(?!\n)/.test(text);
  const bareLf = /(?<!\r)\n/.test(text);
  if (crlf) return lone || bareLf ? null : '\r\n';
  return bareLf ? null : '\r';
}
