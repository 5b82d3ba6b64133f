import type { Finding, Place } from '../../findings/index.js';
import { wholeLines } from '../text/blocks.js';
import { decodeUtf8, decodeWestern, encodingFinding, notUtf8 } from '../text/encoding.js';
import { ByteRows } from './byteRows.js';
import { isSpaces, lineFields, type Quote, splitLine } from './splitLine.js';
import type { Table } from './table.js';
import { type TextRecord, TextRows } from './textRows.js';
import { isTorn } from './tornRow.js';

const LF = 10;
const CR = 13;

export interface BodyShape {
  readonly delimiter: string;
  readonly decimal: '.' | ',';
  readonly quote: Quote;
  /** Fields of an ordinary line. */
  readonly fields: number;
  readonly western: boolean;
  /** Lines above the first row of data. */
  readonly skipLines: number;
  /** Lines of the file above those. */
  readonly linesAbove: number;
  readonly where: Place;
}

/** Reads all rows of data into the table: rows without quotes in one pass over the bytes, the rest as text. */
export function readTable(chunks: Iterable<Uint8Array>, table: Table, shape: BodyShape): readonly Finding[] {
  const { delimiter, quote, where } = shape;
  const findings: Finding[] = [];
  const decode = (bytes: Uint8Array): string => {
    if (shape.western) return decodeWestern(bytes);
    const text = decodeUtf8(bytes);
    if (text !== null) return text;
    if (findings.length === 0) findings.push(encodingFinding(notUtf8, where));
    return decodeWestern(bytes);
  };
  const firstLine = shape.linesAbove + shape.skipLines + 1;
  const byteRows = new ByteRows(table, delimiter, shape.decimal, decode, firstLine);
  const textRows = new TextRows(delimiter, firstLine, shape.fields, quote);
  const quoteByte = quote.charCodeAt(0);
  let skip = shape.skipLines;
  let recent: Uint8Array = new Uint8Array(0);
  const addText = (bytes: Uint8Array) => {
    textRows.line = textRows.open ? textRows.line : byteRows.line;
    countLineEnds(bytes, table);
    addRecords(textRows.read(decode(bytes)));
  };
  const addRecords = (records: readonly TextRecord[]) => {
    for (const { cells, line, strayQuotes } of records) {
      if (strayQuotes > 0) table.notes.strayQuote(line);
      table.addCells(cells, line);
    }
    byteRows.line = textRows.line;
  };
  const add = (bytes: Uint8Array) => {
    if (bytes.length === 0) return;
    if (textRows.open || isSpaces(delimiter) || bytes.includes(quoteByte)) addText(bytes);
    else byteRows.read(bytes);
  };
  for (const block of wholeLines(chunks, where)) {
    // The rest is walked all the same: whoever counts or hashes the bytes gets all of them.
    if (table.ended) continue;
    let bytes = block.bytes;
    while (skip > 0 && bytes.length > 0) {
      bytes = bytes.subarray(lineStop(bytes, 0));
      skip--;
    }
    if (!block.unterminated) {
      add(bytes);
      if (bytes.length > 0) recent = bytes.slice(Math.max(0, bytes.length - 20_000));
    } else {
      const from = lastLineStart(bytes);
      add(bytes.subarray(0, from));
      addLast(bytes.subarray(from), from > 0 ? bytes.subarray(0, from) : recent);
    }
  }
  addRecords(textRows.finish());
  return findings;

  function addLast(line: Uint8Array, before: Uint8Array): void {
    if (textRows.open || table.ended) {
      add(line);
      return;
    }
    const text = decode(line.subarray(0, line.length - 1));
    const { cells, open } = lineFields(text, delimiter, quote);
    const words = text.trim() === '' || !/\d/.test(text) || text.startsWith('#') || text.includes('\0');
    const lines = decode(before.subarray(Math.max(0, before.length - 20_000)))
      .split(/\r\n?|\n/)
      .slice(-201, -1);
    const earlier = lines.map((each) => splitLine(each, delimiter, quote));
    const toNumber = (cell: string) => {
      table.reader.read(cell);
      return table.reader.value;
    };
    if (!words && table.rows > 0 && (open || isTorn({ cells, before: earlier }, table.width, toNumber))) {
      table.drop();
      table.notes.tornRow(byteRows.line);
    } else add(line);
  }
}

function countLineEnds(bytes: Uint8Array, table: Table): void {
  const { notes } = table;
  for (let i = 0; i < bytes.length; i++) {
    const c = bytes[i]!;
    if (c === LF) notes.lf++;
    else if (c === CR) {
      if (bytes[i + 1] === LF) {
        notes.crlf++;
        i++;
      } else notes.cr++;
    }
  }
}

/** Where the line that starts at `from` stops, its end included. */
function lineStop(bytes: Uint8Array, from: number): number {
  for (let i = from; i < bytes.length; i++) {
    if (bytes[i] === LF) return i + 1;
    if (bytes[i] === CR) return bytes[i + 1] === LF ? i + 2 : i + 1;
  }
  return bytes.length;
}

function lastLineStart(bytes: Uint8Array): number {
  let at = bytes.length - 1;
  while (at > 0 && bytes[at - 1] !== LF && bytes[at - 1] !== CR) at--;
  return at;
}
