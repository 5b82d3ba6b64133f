import { findChannel } from '@pullproof/core';
import { plainHeader, plainRows, plainText, textOf, utf8 } from '../fixture.js';
import { type BadInput, lines, named, plainRpm, readsPlain, rpm, same, tail, withHeader } from './entry.js';

/** Headers, preambles, tables, names, and rows of the wrong shape. */
export const layouts: readonly BadInput[] = [
  {
    id: 23,
    input: 'units row',
    bytes: () => utf8(textOf([['s', 'rpm', 'km/h', 'kPa'], ...plainRows()], { header: ['Time', 'Engine speed', 'Vehicle speed', 'MAP'] })),
    outcome: 'SILENT',
    exit: 0,
    holds: (log) => readsPlain(log) && findChannel(log, 'road-speed')?.unit === 'km/h' && log.rows === 60,
  },
  {
    id: 24,
    input: 'preamble',
    bytes: () => utf8(`Recorder,Hillside 2\nDate,2026-05-02\nRate,25\n\n${plainText()}`),
    outcome: 'SILENT',
    exit: 0,
    holds: (log) => readsPlain(log) && log.preamble.length === 3,
  },
  {
    id: 25,
    input: '# comments between rows',
    bytes: () =>
      utf8(
        lines(plainText())
          .map((line, i) => (i === 10 || i === 30 ? `# lap\n${line}` : line))
          .join('\n'),
      ),
    outcome: 'SILENT',
    exit: 0,
    holds: (log) => readsPlain(log) && log.commentRows === 2,
  },
  {
    id: 26,
    input: 'footer',
    place: { line: 62 },
    bytes: () => utf8(`${plainText()}End of recording\nRows: 60\n`),
    outcome: 'W_FOOTER',
    exit: 0,
    count: 2,
    holds: readsPlain,
  },
  {
    id: 26,
    input: 'summary row',
    bytes: () => utf8(`${plainText()}Max,2796.5,58.29,99.0\n`),
    outcome: 'W_FOOTER',
    exit: 0,
    count: 1,
    holds: readsPlain,
  },
  {
    id: 27,
    input: 'header repeated midway',
    bytes: () => utf8(`${plainText({ rows: 30 })}${plainText({ rows: 30 })}`),
    outcome: 'W_RESTART',
    exit: 0,
    count: 1,
    holds: (log) => log.parts.length === 2 && log.rows === 60 && log.parts[1]!.from === 30,
  },
  {
    id: 28,
    input: 'second table',
    place: { line: 63 },
    bytes: () => utf8(`${plainText()}\nLap,Lap time (s)\n1,62.31\n2,61.90\n`),
    outcome: 'E_MULTI_TABLE',
    exit: 1,
  },
  {
    id: 28,
    input: 'second table, the first chosen',
    bytes: () => utf8(`${plainText()}\nLap,Lap time (s)\n1,62.31\n2,61.90\n`),
    outcome: 'SILENT',
    exit: 0,
    options: { table: 1 },
    holds: readsPlain,
  },
  {
    id: 28,
    input: 'second table chosen',
    bytes: () => utf8(`Time (s),Oil pressure (bar)\n0.0,3.1\n0.1,3.2\n0.2,3.1\n\n${plainText()}`),
    outcome: 'SILENT',
    exit: 0,
    options: { table: 2 },
    holds: readsPlain,
  },
  { id: 29, input: 'no header', bytes: () => utf8(textOf(plainRows()).split('\n').slice(1).join('\n')), outcome: 'E_NO_HEADER', exit: 1 },
  {
    id: 29,
    input: 'no header, columns mapped',
    bytes: () => utf8(textOf(plainRows()).split('\n').slice(1).join('\n')),
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
    id: 30,
    input: 'duplicate names, none needed',
    place: { channel: 'Aux' },
    bytes: () => utf8(withHeader([...plainHeader, 'Aux', 'Aux'], (i) => [String(i), String(2 * i)])),
    outcome: 'W_DUPLICATE_NAME',
    exit: 0,
    count: 2,
    holds: (log) => readsPlain(log) && log.channels.filter((channel) => channel.name === 'Aux').length === 2,
  },
  {
    id: 30,
    input: 'duplicate names that both would serve',
    place: { channel: 'Engine speed (rpm)' },
    bytes: () => utf8(withHeader([...plainHeader, 'Engine speed (rpm)'], (i) => [String(2000 + i)])),
    outcome: 'E_AMBIGUOUS_CHANNEL',
    exit: 1,
  },
  {
    id: 31,
    input: 'empty name',
    bytes: () => utf8(withHeader([...plainHeader, ''], (i) => [String(i % 7)])),
    outcome: 'SILENT',
    exit: 0,
    holds: (log) => readsPlain(log) && named(log, 'Col 5'),
  },
  {
    id: 32,
    input: 'names that differ in case or space only',
    bytes: () => utf8(withHeader([...plainHeader, 'Aux', 'aux', ' Aux'], (i) => [String(i), String(2 * i), String(3 * i)])),
    outcome: 'SILENT',
    exit: 0,
    holds: (log) => readsPlain(log) && log.channels.length === 7,
  },
  {
    id: 33,
    input: '__proto__, constructor, toString as names',
    bytes: () =>
      utf8(withHeader([...plainHeader, '__proto__', 'constructor', 'toString'], (i) => [String(i), String(2 * i), String(3 * i)])),
    outcome: 'SILENT',
    exit: 0,
    holds: (log) => readsPlain(log) && log.channels[4]!.name === '__proto__' && log.channels[4]!.values[3] === 3,
  },
  {
    id: 34,
    input: 'shape, values, columns as names',
    bytes: () => utf8(withHeader([...plainHeader, 'shape', 'values', 'columns'], (i) => [String(i), String(2 * i), String(3 * i)])),
    outcome: 'SILENT',
    exit: 0,
    holds: readsPlain,
  },
  {
    id: 35,
    input: 'a 10 kB name',
    bytes: () => utf8(withHeader([...plainHeader, 'x'.repeat(10_000)], (i) => [String(i)])),
    outcome: 'SILENT',
    exit: 0,
    holds: (log) => readsPlain(log) && log.channels[4]!.name.length === 10_000,
  },
  {
    id: 36,
    input: 'control, ANSI, bidi characters in names',
    bytes: () => utf8(withHeader([...plainHeader, '\u001b[31mred\u202e\u0007'], (i) => [String(i)])),
    outcome: 'SILENT',
    exit: 0,
    holds: readsPlain,
  },
  {
    id: 37,
    input: '1,000,000 columns',
    bytes: () => utf8(`${'c,'.repeat(999_999)}c\n${'1,'.repeat(999_999)}1\n`),
    outcome: 'E_TOO_MANY_COLUMNS',
    exit: 1,
  },
  {
    id: 60,
    input: 'short and long rows',
    place: { line: 11 },
    bytes: () =>
      utf8(
        lines(plainText())
          .map((line, i) => (i === 10 ? line.replace(/,[^,]*$/, '') : i === 20 ? `${line},7` : line))
          .join('\n'),
      ),
    outcome: 'W_RAGGED',
    exit: 0,
    count: 2,
    holds: (log) =>
      log.rows === 58 &&
      log.rowsDropped === 2 &&
      same(
        rpm(log),
        plainRpm.filter((_, i) => i !== 9 && i !== 19),
      ),
  },
  {
    id: 60,
    input: 'every row one field longer by a delimiter',
    bytes: () =>
      utf8(
        lines(plainText())
          .map((line, i) => (i === 0 || line === '' ? line : `${line},`))
          .join('\n'),
      ),
    outcome: 'SILENT',
    exit: 0,
    holds: readsPlain,
  },
  {
    id: 61,
    input: 'torn last line',
    place: { line: 62 },
    bytes: () => utf8(`${plainText()}2.40,5.`),
    outcome: 'W_TORN_ROW',
    exit: 0,
    count: 1,
    holds: readsPlain,
  },
  {
    id: 61,
    input: 'last number torn',
    bytes: () => utf8(tail(plainText(), 2)),
    outcome: 'W_TORN_ROW',
    exit: 0,
    count: 1,
    holds: (log) => log.rows === 59,
  },
  {
    id: 61,
    input: 'last line whole but without its end',
    bytes: () => utf8(tail(plainText(), 1)),
    outcome: 'SILENT',
    exit: 0,
    holds: readsPlain,
  },
  {
    id: 62,
    input: 'trailing delimiter',
    bytes: () =>
      utf8(
        lines(plainText())
          .map((line) => (line === '' ? line : `${line},`))
          .join('\n'),
      ),
    outcome: 'SILENT',
    exit: 0,
    holds: (log) => readsPlain(log) && log.channels.length === 4,
  },
];
