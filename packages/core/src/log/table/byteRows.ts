import { type CellKind, cellKinds } from '../text/cell.js';
import type { Table } from './table.js';

const LF = 10;
const CR = 13;
const SPACE = 32;
const HASH = 35;
const powers: readonly number[] = Array.from({ length: 16 }, (_, i) => 10 ** i);

/**
 * Reads rows without quotes straight from bytes into the table's columns, in one pass.
 *
 * A number of at most 15 digits is its digits as an integer over a power of ten: both are exact in double precision, so their quotient is the
 * correctly rounded one, bit for bit what Number() gives [CLINGER1990]. Any other cell is decoded and read as text.
 */
export class ByteRows {
  private readonly table: Table;
  private readonly delimiter: number;
  private readonly decimal: number;
  private readonly decode: (bytes: Uint8Array) => string;
  /** Line of the file on which the next byte lies. */
  line: number;
  private readonly oddColumn: number[] = [];
  private readonly oddFrom: number[] = [];
  private readonly oddTo: number[] = [];

  constructor(table: Table, delimiter: string, decimal: '.' | ',', decode: (bytes: Uint8Array) => string, line: number) {
    this.table = table;
    this.delimiter = delimiter.charCodeAt(0);
    this.decimal = decimal.charCodeAt(0);
    this.decode = decode;
    this.line = line;
  }

  /** Reads whole lines; the last byte is a line end. */
  read(bytes: Uint8Array): void {
    const { table, delimiter, decimal, oddColumn, oddFrom, oddTo } = this;
    const { width, notes, row } = table;
    let fraction = false;
    const end = bytes.length;
    let at = 0;
    while (at < end && !table.ended) {
      const start = at;
      let column = 0;
      let odd = 0;
      let c = bytes[at]!;
      for (;;) {
        while (c === SPACE) c = bytes[++at]!;
        const from = at;
        const negative = c === 45;
        if (negative || c === 43) c = bytes[++at]!;
        const first = at;
        let digits = 0;
        let mantissa = 0;
        let digit = c - 48;
        while (digit >= 0 && digit <= 9) {
          mantissa = mantissa * 10 + digit;
          c = bytes[++at]!;
          digit = c - 48;
        }
        digits = at - first;
        let places = 0;
        if (c === decimal) {
          c = bytes[++at]!;
          const point = at;
          digit = c - 48;
          while (digit >= 0 && digit <= 9) {
            mantissa = mantissa * 10 + digit;
            c = bytes[++at]!;
            digit = c - 48;
          }
          places = at - point;
          digits += places;
        }
        while (c === SPACE) c = bytes[++at]!;
        let value = Number.NaN;
        if ((c === delimiter || c === LF || c === CR) && digits > 0 && digits <= 15) {
          value = places === 0 ? mantissa : mantissa / powers[places]!;
          if (negative) value = -value;
        } else if (!((c === delimiter || c === LF || c === CR) && at === from)) {
          while (c !== delimiter && c !== LF && c !== CR) c = bytes[++at]!;
          oddColumn[odd] = column;
          oddFrom[odd] = from;
          oddTo[odd] = at;
          odd++;
        }
        if (places > 0) fraction = true;
        if (column < width) row[column] = value;
        column++;
        if (c !== delimiter) break;
        c = bytes[++at]!;
      }
      const stop = at;
      if (c === CR) {
        if (bytes[at + 1] === LF) {
          notes.crlf++;
          at += 2;
        } else {
          notes.cr++;
          at++;
        }
      } else {
        notes.lf++;
        at++;
      }
      if (stop !== start) {
        if (column === width && odd === 0) this.commitPlain(bytes, start, stop);
        else if (column !== width || bytes[start] === HASH || !this.settleOdd(bytes, odd)) {
          table.addCells(this.cells(bytes, start, stop), this.line);
        }
      }
      this.line++;
    }
    if (fraction) table.sawFraction = true;
  }

  private commitPlain(bytes: Uint8Array, start: number, stop: number): void {
    const { table } = this;
    for (let i = start; i < stop; i++) {
      const c = bytes[i]!;
      if (c >= 48 && c <= 57) {
        if (table.admits()) table.commit();
        return;
      }
    }
    // A row of blanks is no row.
  }

  /** Reads the cells that were no plain numbers. False when the row needs a closer look as a whole. */
  private settleOdd(bytes: Uint8Array, odd: number): boolean {
    const { table, oddColumn, oddFrom, oddTo } = this;
    const { reader, row } = table;
    const kinds: CellKind[] = [];
    const texts: string[] = [];
    for (let i = 0; i < odd; i++) {
      const text = this.text(bytes, oddFrom[i]!, oddTo[i]!);
      if (text.includes('\0')) return false;
      reader.read(text);
      if (reader.kind === cellKinds.text && (oddColumn[i] === 0 || odd === table.width)) return false;
      row[oddColumn[i]!] = reader.value;
      kinds.push(reader.kind);
      texts.push(text);
    }
    if (kinds.length === table.width && kinds.every((kind) => kind === cellKinds.text || kind === cellKinds.missing)) return false;
    if (!table.admits()) return true;
    for (let i = 0; i < odd; i++) table.markCell(oddColumn[i]!, texts[i]!, kinds[i]!);
    table.commit();
    return true;
  }

  private cells(bytes: Uint8Array, start: number, stop: number): string[] {
    return this.text(bytes, start, stop).split(String.fromCharCode(this.delimiter));
  }

  private text(bytes: Uint8Array, from: number, to: number): string {
    if (to - from < 64) {
      let text = '';
      for (let i = from; i < to; i++) {
        const c = bytes[i]!;
        if (c > 127) return this.decode(bytes.subarray(from, to));
        text += String.fromCharCode(c);
      }
      return text;
    }
    return this.decode(bytes.subarray(from, to));
  }
}
