import { findChannel, type Log } from '@pullproof/core';
import { plainHeader, plainText, textOf, utf8 } from '../fixture.js';
import { type BadInput, readsPlain } from './entry.js';

/** 3,000 rows with the unit in every cell of engine speed but one. */
const unitCells = (odd: (value: string) => string) =>
  utf8(
    textOf(
      Array.from({ length: 3000 }, (_, i) => {
        const value = (2000 + 3 * (i % 1000)).toFixed(0);
        return [
          (0.04 * i).toFixed(2),
          i === 1500 ? odd(value) : `${value} rpm`,
          (40 + (i % 60)).toFixed(1),
          (98 + (i % 11) / 10).toFixed(1),
        ];
      }),
      { header: ['Time (s)', 'Engine speed', ...plainHeader.slice(2)] },
    ),
  );
const costsItself = (log: Log) => findChannel(log, 'engine-speed')?.missing === 1 && log.rows === 3000;
const oneOdd = (input: string, odd: (value: string) => string): BadInput => ({
  id: 86,
  input,
  place: { row: 1501, channel: 'Engine speed' },
  bytes: () => unitCells(odd),
  outcome: 'W_NOT_A_NUMBER',
  exit: 0,
  count: 1,
  holds: costsItself,
});
const withCellText = (cell: string) => utf8(plainText().replace('2256.5', cell));
const withName = (blanks: string) => utf8(plainText().replace('Engine speed', `Engine${blanks}speed`));

/** 86 and 91: cells that carry their unit, and texts without end. */
export const cellUnits: readonly BadInput[] = [
  oneOdd('one cell of 3,000 without its unit', (value) => value),
  oneOdd('one cell of 3,000 with another unit', (value) => `${value} kPa`),
  oneOdd('one cell of 3,000 with a remnant of the adapter', (value) => `>${value} rpm`),
  oneOdd('one cell of 3,000 with a word of the adapter', () => 'SEARCHING...'),
  {
    id: 86,
    input: 'one cell of 3,000 with its unit in another spelling',
    bytes: () => unitCells((value) => `${value} RPM`),
    outcome: 'SILENT',
    exit: 0,
    holds: (log) => findChannel(log, 'engine-speed')?.missing === 0,
  },
  {
    id: 91,
    input: '100,000 blanks in a name',
    bytes: () => withName(' '.repeat(100_000)),
    outcome: 'SILENT',
    exit: 0,
    holds: readsPlain,
  },
  {
    id: 91,
    input: '100,000 digits in a cell',
    place: { channel: 'Engine speed (rpm)' },
    bytes: () => withCellText('9'.repeat(100_000)),
    outcome: 'W_OUT_OF_RANGE',
    exit: 0,
    count: 1,
  },
  {
    id: 91,
    input: '100,000 decimals under a decimal comma',
    bytes: () => utf8(plainText({ delimiter: ';', decimal: ',' }).replace('2256,5', `1,${'9'.repeat(100_000)}`)),
    outcome: 'SILENT',
    exit: 0,
    holds: (log) => findChannel(log, 'engine-speed')!.values[19] === 2,
  },
  {
    id: 91,
    input: '10 million NULs after a torn line',
    place: { line: 62 },
    bytes: () => utf8(`${plainText()}2.40,28${'\0'.repeat(10_000_000)}`),
    outcome: 'W_NUL',
    exit: 0,
    count: 1,
    holds: readsPlain,
  },
  {
    id: 91,
    input: '100,000 lines of NULs',
    place: { line: 62 },
    bytes: () => utf8(`${plainText()}${`${'\0'.repeat(20)}\n`.repeat(100_000)}`),
    outcome: 'W_NUL',
    exit: 0,
    count: 100_000,
    holds: readsPlain,
  },
];
