import { findChannel, type Log } from '@pullproof/core';
import { plainHeader, plainRows, plainText, textOf, utf8 } from '../fixture.js';
import { type BadInput, lines, named, readsPlain } from './entry.js';

const row20 = (change: (line: string) => string) =>
  lines(plainText())
    .map((line, i) => (i === 20 ? change(line) : line))
    .join('\n');
const allButOne = (log: Log) => log.rows === 60 && log.channels.filter(({ missing }) => missing === 1).length === 1;

/** 81 and 82: quotes that nothing closes, and quotes that are written in an unusual way. */
export const quotes: readonly BadInput[] = [
  {
    id: 81,
    input: 'a quote that opens a cell and is never closed',
    place: { line: 21 },
    bytes: () => utf8(row20((line) => line.replace(',', ',"'))),
    outcome: 'W_QUOTE',
    exit: 0,
    count: 1,
    holds: allButOne,
  },
  {
    id: 81,
    input: 'a quote that opens a row and is never closed: the row has no time',
    bytes: () => utf8(row20((line) => `"${line}`)),
    outcome: 'W_TIME_MISSING',
    exit: 0,
    count: 1,
    holds: (log) => log.rows === 59 && log.rowsDropped === 1,
  },
  {
    id: 81,
    input: 'a quote that only closes',
    place: { line: 21 },
    bytes: () => utf8(row20((line) => `${line}"`)),
    outcome: 'W_QUOTE',
    exit: 0,
    count: 1,
    holds: allButOne,
  },
  {
    id: 81,
    input: 'stray quotes in two rows one below the other',
    place: { line: 21 },
    bytes: () =>
      utf8(
        lines(plainText())
          .map((line, i) => (i === 20 ? line.replace(',', ',"') : i === 21 ? line.replace(/,([^,]*),([^,]*)$/, ',$1",$2') : line))
          .join('\n'),
      ),
    outcome: 'W_QUOTE',
    exit: 0,
    count: 2,
    holds: (log) => log.rows === 60,
  },
  {
    id: 81,
    input: 'a stray quote in the header',
    bytes: () => utf8(plainText().replace('Engine', '"Engine')),
    outcome: 'W_QUOTE',
    exit: 0,
    count: 1,
    holds: (log) => readsPlain(log) && log.channels.length === 4,
  },
  {
    id: 81,
    input: 'inches of mercury in a units row',
    bytes: () => utf8(textOf([['s', 'rpm', 'km/h', '"Hg'], ...plainRows()], { header: ['Time', 'Engine speed', 'Vehicle speed', 'MAP'] })),
    outcome: 'SILENT',
    exit: 0,
    holds: (log) => readsPlain(log) && findChannel(log, 'manifold-pressure')?.unit === 'inHg',
  },
  {
    id: 81,
    input: 'a stray quote in a line of the preamble',
    bytes: () => utf8(`Car,"old coupe\n${plainText()}`),
    outcome: 'SILENT',
    exit: 0,
    holds: (log) => readsPlain(log) && log.preamble.length === 1,
  },
  {
    id: 81,
    input: 'a last line torn inside a quote',
    place: { line: 62 },
    bytes: () => utf8(`${plainText()}2.40,"281`),
    outcome: 'W_TORN_ROW',
    exit: 0,
    count: 1,
    holds: readsPlain,
  },
  {
    id: 81,
    input: 'a cell of several lines is one cell all the same',
    bytes: () =>
      utf8(
        textOf(
          plainRows().map((row, i) => [...row, i === 9 ? '"left,\nthen right"' : 'calm']),
          { header: [...plainHeader, 'Note'] },
        ),
      ),
    outcome: 'SILENT',
    exit: 0,
    holds: (log) => readsPlain(log) && log.rows === 60,
  },
  {
    id: 82,
    input: 'quotes after a blank',
    bytes: () => utf8(textOf(plainRows(), { header: plainHeader.map((name, i) => (i === 0 ? `"${name}"` : ` "${name}"`)) })),
    outcome: 'SILENT',
    exit: 0,
    holds: (log) => readsPlain(log) && named(log, 'Engine speed (rpm)') && log.channels.every(({ quantity }) => quantity !== null),
  },
  {
    id: 82,
    input: 'blanks around quoted decimal commas',
    bytes: () => utf8(textOf(plainRows().map((row) => row.map((cell) => ` "${cell.replace('.', ',')}" `)))),
    outcome: 'SILENT',
    exit: 0,
    holds: (log) => readsPlain(log) && log.dialect.decimal === ',',
  },
  {
    id: 82,
    input: 'single quotes',
    bytes: () =>
      utf8(
        textOf(
          plainRows().map((row) => row.map((cell) => `'${cell}'`)),
          { header: plainHeader.map((name) => `'${name}'`) },
        ),
      ),
    outcome: 'SILENT',
    exit: 0,
    holds: (log) => readsPlain(log) && log.dialect.quote === "'" && named(log, 'MAP (kPa)'),
  },
  {
    id: 82,
    input: 'a comma inside a quoted name',
    bytes: () => utf8(textOf(plainRows(), { header: ['Time (s)', '"Speed, engine (rpm)"', ...plainHeader.slice(2)] })),
    outcome: 'SILENT',
    exit: 0,
    holds: (log) => readsPlain(log) && named(log, 'Speed, engine (rpm)'),
  },
];
