import { findChannel, type Log } from '@pullproof/core';
import { plainHeader, plainRows, plainText, textOf, utf8 } from '../fixture.js';
import { type BadInput, named, plainRpm, readsPlain, rpm, same, tail } from './entry.js';

const below = (line: string, header = plainHeader) => utf8(textOf(plainRows(), { header }).replace('\n', `\n${line}\n`));
const wordless = plainHeader.map((name) => name.replace(/ \(.*/, ''));
const monitors = Array.from({ length: 15 }, (_, i) => `Monitor ${i + 1}`);
const skipsOne = (input: string, line: string): BadInput => ({
  id: 83,
  input,
  place: { line: 2 },
  bytes: () => below(line),
  outcome: 'W_TEXT_ROW',
  exit: 0,
  count: 1,
  holds: readsPlain,
});
const oneMore = () =>
  `${plainText({ rows: 30 })}${textOf(
    plainRows(30).map((row, i) => [...row, String(i)]),
    { header: [...plainHeader, 'Extra'] },
  )}`;
const oneLess = () =>
  `${plainText({ rows: 30 })}${textOf(
    plainRows(30).map((row) => row.slice(0, 3)),
    { header: plainHeader.slice(0, 3) },
  )}`;
const halves = () => `${plainText({ rows: 30, delimiter: ';' })}${plainText({ rows: 30 })}`;
const thirty = (log: Log) => log.rows === 30 && log.parts.length === 1;

/** 83 to 85: what stands between the names and the data, columns of words, and tables of another shape. */
export const headers: readonly BadInput[] = [
  skipsOne('a line of words', 'start of the recording'),
  skipsOne('a ruler', '=====,=====,=====,====='),
  skipsOne('a ruler of one field', '=========================='),
  skipsOne('types', 'time,int,float,float'),
  skipsOne('ids', '0x00,0x0C,0x0D,0x0B'),
  skipsOne('ids as numbers', '100,101,102,103'),
  skipsOne('sample rates', '25,25,10,25'),
  skipsOne('sample rates with unit', '25 Hz,25 Hz,10 Hz,25 Hz'),
  skipsOne('Error in every cell', 'Error,Error,Error,Error'),
  skipsOne('no number in the first row', 'NaN,NaN,NaN,NaN'),
  {
    id: 83,
    input: 'least and largest values',
    place: { line: 2 },
    bytes: () => below('0.00,2000,40,98\n2.36,2796.5,58.29,99'),
    outcome: 'W_TEXT_ROW',
    exit: 0,
    count: 2,
    holds: readsPlain,
  },
  {
    id: 83,
    input: 'least and largest values by name',
    place: { line: 2 },
    bytes: () => below('Min,2000,40,98\nMax,2796.5,58.29,99'),
    outcome: 'W_TEXT_ROW',
    exit: 0,
    count: 2,
    holds: readsPlain,
  },
  {
    id: 83,
    input: 'types above the units',
    place: { line: 2 },
    bytes: () => below('time,float,float,float\ns,rpm,km/h,kPa', wordless),
    outcome: 'W_TEXT_ROW',
    exit: 0,
    count: 1,
    holds: (log) => readsPlain(log) && findChannel(log, 'road-speed')?.unit === 'km/h',
  },
  {
    id: 83,
    input: 'the first row has a time and no reading',
    bytes: () => utf8(plainText().replace(/\n0\.00,[^\n]*/, '\n0.00,NaN,NaN,NaN')),
    outcome: 'W_MISSING_TOKENS',
    exit: 0,
    count: 3,
    holds: (log) => log.rows === 60 && log.channels.filter(({ missing }) => missing === 1).length === 3,
  },
  {
    id: 84,
    input: 'five columns of numbers, fifteen of words',
    bytes: () =>
      utf8(
        textOf(
          plainRows().map((row, i) => [...row, String(80 + (i % 5)), ...monitors.map(() => 'Ready')]),
          { header: [...plainHeader, 'Coolant temperature (°C)', ...monitors] },
        ),
      ),
    outcome: 'SILENT',
    exit: 0,
    holds: (log) => readsPlain(log) && log.channels.length === 20,
  },
  {
    id: 85,
    input: 'a restart with one more channel',
    place: { line: 32 },
    bytes: () => utf8(oneMore()),
    outcome: 'E_MULTI_TABLE',
    exit: 1,
  },
  {
    id: 85,
    input: 'a restart with one more channel, the first table chosen',
    bytes: () => utf8(oneMore()),
    outcome: 'SILENT',
    exit: 0,
    options: { table: 1 },
    holds: (log) => thirty(log) && log.channels.length === 4,
  },
  {
    id: 85,
    input: 'a restart with one more channel, the second table chosen',
    bytes: () => utf8(oneMore()),
    outcome: 'SILENT',
    exit: 0,
    options: { table: 2 },
    holds: (log) => thirty(log) && log.channels.length === 5,
  },
  {
    id: 85,
    input: 'a restart with one less channel',
    place: { line: 32 },
    bytes: () => utf8(oneLess()),
    outcome: 'E_MULTI_TABLE',
    exit: 1,
  },
  {
    id: 85,
    input: 'a restart with one less channel, the second table chosen',
    bytes: () => utf8(oneLess()),
    outcome: 'SILENT',
    exit: 0,
    options: { table: 2 },
    holds: (log) => thirty(log) && log.channels.length === 3,
  },
  { id: 85, input: 'half semicolons, half commas', place: { line: 32 }, bytes: () => utf8(halves()), outcome: 'E_MULTI_TABLE', exit: 1 },
  {
    id: 85,
    input: 'half semicolons, half commas, the second table chosen',
    bytes: () => utf8(halves()),
    outcome: 'SILENT',
    exit: 0,
    options: { table: 2 },
    holds: (log) => thirty(log) && log.dialect.delimiter === ',',
  },
  {
    id: 85,
    input: 'half semicolons, half commas without names',
    place: { line: 32 },
    bytes: () => utf8(`${plainText({ rows: 30, delimiter: ';' })}${plainText({ rows: 30 }).split('\n').slice(1).join('\n')}`),
    outcome: 'E_MULTI_TABLE',
    exit: 1,
  },
  {
    id: 85,
    input: 'rows that leave out blanks at their end',
    bytes: () => utf8(textOf(plainRows().map((row, i) => (i % 3 === 0 ? row : row.slice(0, 3))))),
    outcome: 'SILENT',
    exit: 0,
    holds: (log) => readsPlain(log) && findChannel(log, 'manifold-pressure')!.missing === 40,
  },
  {
    id: 85,
    input: 'names over two rows',
    bytes: () =>
      utf8(
        textOf([['', 'speed', 'speed', 'temperature'], ['s', 'rpm', 'km/h', '°C'], ...plainRows()], {
          header: ['Time', 'Engine', 'Vehicle', 'Coolant'],
        }),
      ),
    outcome: 'SILENT',
    exit: 0,
    holds: (log) => readsPlain(log) && named(log, 'Coolant temperature') && findChannel(log, 'road-speed')?.unit === 'km/h',
  },
  {
    id: 85,
    input: 'a header that lost a separator',
    bytes: () => utf8(plainText().replace('(rpm),', '(rpm)')),
    outcome: 'W_HEADER',
    exit: 0,
    count: 1,
    holds: (log) => readsPlain(log) && log.channels.every(({ quantity }) => quantity !== null),
  },
  {
    id: 85,
    input: 'a header that lost a separator nobody knows where',
    bytes: () => utf8(textOf(plainRows(), { header: ['Time (s)', 'alphabeta', 'MAP (kPa)'] })),
    outcome: 'E_DELIMITER',
    exit: 1,
  },
  {
    id: 85,
    input: 'the same with the columns stated',
    bytes: () => utf8(textOf(plainRows(), { header: ['Time (s)', 'alphabeta', 'MAP (kPa)'] })),
    outcome: 'SILENT',
    exit: 0,
    options: {
      channels: new Map([
        ['Col 1', 'time s'],
        ['Col 2', 'engine-speed rpm'],
      ]),
    },
    holds: readsPlain,
  },
  {
    id: 85,
    input: 'a complete last row that ends in a word in e',
    bytes: () =>
      utf8(
        tail(
          textOf(
            plainRows().map((row, i) => [...row, i < 59 ? 'Cruising' : 'Idle']),
            { header: [...plainHeader, 'State'] },
          ),
          1,
        ),
      ),
    outcome: 'SILENT',
    exit: 0,
    holds: (log) => same(rpm(log), plainRpm),
  },
];
