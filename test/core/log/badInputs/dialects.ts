import { findChannel } from '@pullproof/core';
import { plainHeader, plainRows, plainText, textOf, utf8 } from '../fixture.js';
import { type BadInput, lines, named, readsPlain, withHeader } from './entry.js';

/** Delimiters, decimal marks, line ends and quotes. */
export const dialects: readonly BadInput[] = [
  {
    id: 9,
    input: 'semicolon with decimal comma',
    bytes: () => utf8(plainText({ delimiter: ';', decimal: ',' })),
    outcome: 'SILENT',
    exit: 0,
    holds: (log) => readsPlain(log) && log.dialect.delimiter === ';' && log.dialect.decimal === ',',
  },
  {
    id: 10,
    input: 'the same with two columns',
    bytes: () =>
      utf8(
        `Time (s);Engine speed (rpm)\n${plainRows()
          .map((row) => `${row[0]};${row[1]}`.replaceAll('.', ','))
          .join('\n')}\n`,
      ),
    outcome: 'SILENT',
    exit: 0,
    holds: (log) => readsPlain(log) && log.channels.length === 2,
  },
  {
    id: 11,
    input: 'tab with decimal comma',
    bytes: () => utf8(plainText({ delimiter: '\t', decimal: ',' })),
    outcome: 'SILENT',
    exit: 0,
    holds: readsPlain,
  },
  {
    id: 12,
    input: 'comma with quoted decimal commas',
    bytes: () => utf8(textOf(plainRows().map((row) => row.map((cell) => `"${cell.replace('.', ',')}"`)))),
    outcome: 'SILENT',
    exit: 0,
    holds: (log) => readsPlain(log) && log.dialect.decimal === ',',
  },
  { id: 13, input: 'pipe', bytes: () => utf8(plainText({ delimiter: '|' })), outcome: 'SILENT', exit: 0, holds: readsPlain },
  { id: 13, input: 'several spaces', bytes: () => utf8(plainText({ delimiter: '   ' })), outcome: 'SILENT', exit: 0, holds: readsPlain },
  {
    id: 13,
    input: 'no delimiter at all',
    bytes: () => utf8('Notes on the drive to the hill\nIt rained and then it stopped\nNothing was recorded\n'),
    outcome: 'E_DELIMITER',
    exit: 1,
  },
  {
    id: 14,
    input: '1,234 that may be either',
    bytes: () => utf8('Time (ms);Engine speed (rpm)\n0;1,234\n40;1,300\n80;1,371\n'),
    outcome: 'E_AMBIGUOUS_DECIMAL',
    exit: 1,
  },
  {
    id: 14,
    input: '1,234 stated as decimals',
    bytes: () => utf8('Time (ms);Lambda\n0;1,234\n40;1,300\n80;1,371\n'),
    outcome: 'SILENT',
    exit: 0,
    options: { decimal: ',' },
    holds: (log) => findChannel(log, 'lambda')!.values[0] === 1.234,
  },
  {
    id: 15,
    input: '1.234,56',
    bytes: () =>
      utf8(
        textOf(
          plainRows().map(([t, n, ...rest]) => [
            t!.replace('.', ','),
            `${n![0]}.${n!.slice(1).replace('.', ',')}`,
            ...rest.map((cell) => cell.replace('.', ',')),
          ]),
          { delimiter: ';' },
        ),
      ),
    outcome: 'SILENT',
    exit: 0,
    holds: readsPlain,
  },
  {
    id: 15,
    input: 'narrow space between thousands',
    bytes: () =>
      utf8(
        textOf(
          plainRows().map(([t, n, ...rest]) => [t!, `${n![0]}\u202f${n!.slice(1)}`, ...rest]),
          { delimiter: ';', decimal: ',' },
        ),
      ),
    outcome: 'SILENT',
    exit: 0,
    holds: readsPlain,
  },
  {
    id: 16,
    input: 'sep=; first',
    bytes: () => utf8(`sep=;\n${plainText({ delimiter: ';', decimal: ',' })}`),
    outcome: 'SILENT',
    exit: 0,
    holds: (log) => readsPlain(log) && log.preamble.length === 0,
  },
  {
    id: 17,
    input: 'mixed line ends',
    bytes: () =>
      utf8(
        lines(plainText())
          .map((line, i) => (i % 3 === 0 ? `${line}\r\n` : `${line}\n`))
          .join('')
          .trimEnd()
          .concat('\n'),
      ),
    outcome: 'W_LINE_ENDS',
    exit: 0,
    holds: readsPlain,
  },
  { id: 18, input: 'CR only', bytes: () => utf8(plainText({ end: '\r' })), outcome: 'SILENT', exit: 0, holds: readsPlain },
  {
    id: 19,
    input: 'NUL run',
    place: { line: 62 },
    bytes: () => utf8(`${plainText()}${'\0'.repeat(500)}`),
    outcome: 'W_NUL',
    exit: 0,
    count: 1,
    holds: readsPlain,
  },
  {
    id: 19,
    input: 'NUL run in the middle',
    place: { line: 21 },
    bytes: () =>
      utf8(
        lines(plainText())
          .map((line, i) => (i === 20 ? `${line.slice(0, 5)}${'\0'.repeat(64)}` : line))
          .join('\n'),
      ),
    outcome: 'W_NUL',
    exit: 0,
    count: 1,
    holds: (log) => log.rows === 59 && log.rowsDropped === 1,
  },
  {
    id: 20,
    input: 'unterminated quote at the end: it is text, and costs its cell',
    place: { line: 62 },
    bytes: () => utf8(`${plainText()}2.40,"2810.0,58.60,98.1\n`),
    outcome: 'W_QUOTE',
    exit: 0,
    count: 1,
    holds: (log) => log.rows === 61 && findChannel(log, 'engine-speed')!.missing === 1,
  },
  {
    id: 20,
    input: 'unterminated quote in the middle, another one further down: no row between is swallowed',
    place: { line: 21 },
    bytes: () =>
      utf8(
        lines(plainText())
          .map((line, i) => (i === 20 ? line.replace(',', ',"') : i === 40 ? line.replace(',', ',"').replace(/,([^,]*)$/, '",$1') : line))
          .join('\n'),
      ),
    outcome: 'W_QUOTE',
    exit: 0,
    count: 1,
    holds: (log) => log.rows === 59,
  },
  {
    id: 21,
    input: 'stray quote inside a field',
    place: { line: 7 },
    bytes: () =>
      utf8(
        textOf(
          plainRows().map((row, i) => [...row, i === 5 ? '3" hose' : 'none']),
          { header: [...plainHeader, 'Note'] },
        ),
      ),
    outcome: 'W_QUOTE',
    exit: 0,
    count: 1,
    holds: readsPlain,
  },
  {
    id: 22,
    input: 'quoted line break in a header',
    bytes: () => utf8(withHeader(['Time (s)', '"Engine\nspeed (rpm)"', ...plainHeader.slice(2)])),
    outcome: 'SILENT',
    exit: 0,
    holds: (log) => readsPlain(log) && named(log, 'Engine\nspeed (rpm)'),
  },
];
