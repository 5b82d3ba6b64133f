import { gzipSync } from 'node:zlib';
import type { Log, ReadOptions } from '@pullproof/core';
import { findChannel } from '@pullproof/core';
import { latin1, plainHeader, plainRow, plainRows, plainText, textOf, utf8, utf16 } from './fixture.js';

/** One line of the table of bad inputs: what comes in, what must come out, through the library and through the command line alike. */
export interface BadInput {
  /** Number of the line in the table; several fixtures may share one. */
  readonly id: number;
  readonly input: string;
  readonly bytes: () => Uint8Array | Iterable<Uint8Array>;
  /** Code of the error or finding, or SILENT: read without error or warning. */
  readonly outcome: string;
  readonly exit: 0 | 1;
  /** What the finding counts. */
  readonly count?: number;
  readonly options?: Partial<ReadOptions>;
  /** What must hold of the log that was read. */
  readonly holds?: (log: Log) => boolean;
  /** True when the fixture is too large or endless for a file of the command line's test. */
  readonly libraryOnly?: true;
}

const rpm = (log: Log) => [...findChannel(log, 'engine-speed')!.values];
const plainRpm = plainRows().map((row) => Number(row[1]));
const same = (a: readonly number[], b: readonly number[]) => a.length === b.length && a.every((value, i) => Object.is(value, b[i]));
const readsPlain = (log: Log) => same(rpm(log), plainRpm);
const named = (log: Log, name: string) => log.channels.some((channel) => channel.name === name);
const missing = (log: Log, count: number) => log.channels.some((channel) => channel.missing === count);

/** The plain log with one cell put in place of another. */
function withCell(row: number, column: number, cell: string): string {
  const rows = plainRows();
  rows[row]![column] = cell;
  return textOf(rows);
}

/** The plain log with every cell of one column made by a function. */
function withColumn(column: number, cell: (i: number, old: string) => string, header?: string): string {
  const rows = plainRows();
  for (const [i, row] of rows.entries()) row[column] = cell(i, row[column]!);
  return textOf(rows, { header: plainHeader.map((name, i) => (i === column ? (header ?? name) : name)) });
}

function withHeader(header: readonly string[], extra: (i: number) => string[] = () => []): string {
  return textOf(
    plainRows().map((row, i) => [...row, ...extra(i)]),
    { header },
  );
}

const clock = (seconds: number) =>
  `${String(Math.floor(seconds / 3600) % 24).padStart(2, '0')}:${String(Math.floor(seconds / 60) % 60).padStart(2, '0')}:${(seconds % 60).toFixed(3).padStart(6, '0')}`;

function lines(text: string): string[] {
  return text.split('\n');
}

function* endless(): Generator<Uint8Array> {
  const chunk = utf8('1,2,3,4,5,6,7,8,'.repeat(4096));
  for (;;) yield chunk;
}

const tail = (text: string, cut: number) => text.slice(0, text.length - cut);

export const badInputs: readonly BadInput[] = [
  { id: 1, input: 'empty file', bytes: () => utf8(''), outcome: 'E_EMPTY', exit: 1 },
  { id: 1, input: 'white space only', bytes: () => utf8(' \r\n\t\n  \n'), outcome: 'E_EMPTY', exit: 1 },
  { id: 1, input: 'byte-order mark only', bytes: () => utf8('\ufeff'), outcome: 'E_EMPTY', exit: 1 },
  { id: 2, input: 'header only', bytes: () => utf8(`${plainHeader.join(',')}\n`), outcome: 'E_NO_ROWS', exit: 1 },
  { id: 3, input: 'one data row', bytes: () => utf8(plainText({ rows: 1 })), outcome: 'E_TOO_FEW_SAMPLES', exit: 1 },
  {
    id: 4,
    input: 'UTF-8 byte-order mark',
    bytes: () => utf8(`\ufeff${plainText()}`),
    outcome: 'SILENT',
    exit: 0,
    holds: (log) => readsPlain(log) && named(log, 'Time (s)'),
  },
  { id: 5, input: 'UTF-16 LE with mark', bytes: () => utf16(plainText(), false, true), outcome: 'W_ENCODING', exit: 0, holds: readsPlain },
  { id: 5, input: 'UTF-16 BE with mark', bytes: () => utf16(plainText(), true, true), outcome: 'W_ENCODING', exit: 0, holds: readsPlain },
  { id: 6, input: 'UTF-16 without mark', bytes: () => utf16(plainText(), false, false), outcome: 'W_ENCODING', exit: 0, holds: readsPlain },
  {
    id: 7,
    input: 'windows-1252 °C',
    bytes: () => latin1(withHeader([...plainHeader.slice(0, 3), 'Coolant temperature (°C)'])),
    outcome: 'W_ENCODING',
    exit: 0,
    holds: (log) => findChannel(log, 'coolant-temperature')?.unit === '°C',
  },
  {
    id: 8,
    input: 'doubly encoded °C',
    bytes: () => utf8(withHeader([...plainHeader.slice(0, 3), 'Coolant temperature (Â°C)'])),
    outcome: 'SILENT',
    exit: 0,
    holds: (log) => findChannel(log, 'coolant-temperature')?.originalName === 'Coolant temperature (Â°C)',
  },
  {
    id: 8,
    input: 'µs and λ in names',
    bytes: () =>
      utf8(
        textOf(
          plainRows().map((row, i) => [row[0]!, row[1]!, (0.85 + 0.001 * (i % 9)).toFixed(3), String(4000 + i)]),
          { header: ['Time (s)', 'Engine speed (rpm)', 'Bank 1 λ', 'Injector pulse width (µs)'] },
        ),
      ),
    outcome: 'SILENT',
    exit: 0,
    holds: (log) => findChannel(log, 'injector-pulse-width')?.values[0] === 0.004 && findChannel(log, 'lambda')?.bank === 1,
  },
  {
    id: 8,
    input: 'composed and decomposed name',
    bytes: () => utf8(withHeader([...plainHeader.slice(0, 3), 'Ku\u0308hlmitteltemperatur (°C)'])),
    outcome: 'SILENT',
    exit: 0,
    holds: (log) => findChannel(log, 'coolant-temperature')?.name === 'Ku\u0308hlmitteltemperatur (°C)',
  },
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
    bytes: () => utf8(`${plainText()}${'\0'.repeat(500)}`),
    outcome: 'W_NUL',
    exit: 0,
    count: 1,
    holds: readsPlain,
  },
  {
    id: 19,
    input: 'NUL run in the middle',
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
    input: 'unterminated quote at the end',
    bytes: () => utf8(`${plainText()}2.40,"2810.0,58.60,98.1\n`),
    outcome: 'E_QUOTE',
    exit: 1,
  },
  {
    id: 20,
    input: 'unterminated quote in the middle',
    bytes: () =>
      utf8(
        lines(plainText())
          .map((line, i) => (i === 20 ? line.replace(',', ',"') : i === 40 ? line.replace(',', ',"').replace(/,([^,]*)$/, '",$1') : line))
          .join('\n'),
      ),
    outcome: 'E_QUOTE',
    exit: 1,
  },
  {
    id: 21,
    input: 'stray quote inside a field',
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
    bytes: () => utf8(withHeader([...plainHeader, 'Aux', 'Aux'], (i) => [String(i), String(2 * i)])),
    outcome: 'W_DUPLICATE_NAME',
    exit: 0,
    count: 2,
    holds: (log) => readsPlain(log) && log.channels.filter((channel) => channel.name === 'Aux').length === 2,
  },
  {
    id: 30,
    input: 'duplicate names that both would serve',
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
    id: 38,
    input: 'time falls where the logger restarts',
    bytes: () => utf8(textOf([...plainRows(30), ...plainRows(30)])),
    outcome: 'W_RESTART',
    exit: 0,
    count: 1,
    holds: (log) => log.parts.length === 2,
  },
  {
    id: 38,
    input: 'time falls',
    bytes: () => utf8(textOf(plainRows().map((row, i) => [plainRow(i === 40 ? 37 : i)[0]!, ...row.slice(1)]))),
    outcome: 'E_TIME_ORDER',
    exit: 1,
  },
  {
    id: 39,
    input: 'equal time stamps',
    bytes: () => utf8(withCell(20, 0, plainRow(19)[0]!)),
    outcome: 'W_TIME_REPEATED',
    exit: 0,
    count: 1,
    holds: readsPlain,
  },
  {
    id: 40,
    input: 'counter rollover of 16 bits, ms',
    bytes: () => utf8(withColumn(0, (i) => (((64_000 + 40 * i) % 65_536) / 1000).toFixed(3))),
    outcome: 'W_ROLLOVER',
    exit: 0,
    count: 1,
    holds: (log) => readsPlain(log) && Math.abs(log.timeS.at(-1)! - 59 * 0.04) < 1e-9 && log.parts.length === 1,
  },
  {
    id: 40,
    input: 'counter rollover of 32 bits, ms',
    bytes: () => utf8(withColumn(0, (i) => String((4_294_966_296 + 40 * i) % 4_294_967_296), 'Time (ms)')),
    outcome: 'W_ROLLOVER',
    exit: 0,
    count: 1,
    holds: (log) => Math.abs(log.timeS.at(-1)! - 59 * 0.04) < 1e-6,
  },
  {
    id: 41,
    input: 'clock passes midnight',
    bytes: () => utf8(withColumn(0, (i) => clock(86_399 + 0.04 * i), 'Time')),
    outcome: 'W_MIDNIGHT',
    exit: 0,
    count: 1,
    holds: (log) => Math.abs(log.timeS.at(-1)! - 59 * 0.04) < 1e-6 && log.parts.length === 1,
  },
  {
    id: 42,
    input: 'daylight-saving jump',
    bytes: () => utf8(withColumn(0, (i) => clock(3600 + 0.04 * i + (i < 30 ? 0 : 3600)), 'Time')),
    outcome: 'W_CLOCK_JUMP',
    exit: 0,
    count: 1,
    holds: (log) => log.parts.length === 2,
  },
  {
    id: 42,
    input: 'zone jump back',
    bytes: () => utf8(withColumn(0, (i) => clock(36_000 + 0.04 * i - (i < 30 ? 0 : 3600)), 'Time')),
    outcome: 'W_CLOCK_JUMP',
    exit: 0,
    count: 1,
    holds: (log) => log.parts.length === 2,
  },
  { id: 43, input: 'ms or s unclear', bytes: () => utf8(withColumn(0, (i) => String(i), 'Time')), outcome: 'E_TIME_UNIT', exit: 1 },
  {
    id: 43,
    input: 'ms by unit',
    bytes: () => utf8(withColumn(0, (i) => String(40 * i), 'Time (ms)')),
    outcome: 'SILENT',
    exit: 0,
    holds: (log) => log.timeS[1] === 0.04,
  },
  {
    id: 43,
    input: 'no unit, only seconds possible',
    bytes: () => utf8(withColumn(0, (_, old) => old, 'Time')),
    outcome: 'SILENT',
    exit: 0,
    holds: (log) => log.timeS[1] === 0.04,
  },
  {
    id: 44,
    input: 'epoch seconds',
    bytes: () => utf8(withColumn(0, (i) => (1_777_746_000 + 0.04 * i).toFixed(2), 'Time')),
    outcome: 'SILENT',
    exit: 0,
    holds: (log) => log.timeS[0] === 0 && Math.abs(log.timeS[1]! - 0.04) < 1e-6,
  },
  {
    id: 44,
    input: 'epoch ms',
    bytes: () => utf8(withColumn(0, (i) => String(1_777_746_000_000 + 40 * i), 'Time')),
    outcome: 'SILENT',
    exit: 0,
    holds: (log) => log.timeS[1] === 0.04,
  },
  {
    id: 44,
    input: 'epoch µs',
    bytes: () => utf8(withColumn(0, (i) => String(1_777_746_000_000_000 + 40_000 * i), 'Time')),
    outcome: 'SILENT',
    exit: 0,
    holds: (log) => log.timeS[1] === 0.04,
  },
  {
    id: 45,
    input: 'mm:ss.s',
    bytes: () => utf8(withColumn(0, (i) => `12:${(40 + 0.04 * i).toFixed(2)}`, 'Time')),
    outcome: 'SILENT',
    exit: 0,
    holds: (log) => Math.abs(log.timeS[1]! - 0.04) < 1e-9,
  },
  {
    id: 45,
    input: 'hh:mm:ss.s',
    bytes: () => utf8(withColumn(0, (i) => clock(68_725 + 0.04 * i), 'Time')),
    outcome: 'SILENT',
    exit: 0,
    holds: (log) => Math.abs(log.timeS[1]! - 0.04) < 1e-9,
  },
  {
    id: 46,
    input: '12-hour clock',
    bytes: () =>
      utf8(
        withColumn(
          0,
          (i) =>
            `12:59:${(58.5 + 0.02 * i).toFixed(2)} PM`.replace(
              /12:59:(6\d\.\d\d)/,
              (_, s) => `1:00:${(Number(s) - 60).toFixed(2).padStart(5, '0')}`,
            ),
          'Time',
        ),
      ),
    outcome: 'SILENT',
    exit: 0,
    holds: (log) => log.parts.length === 1,
  },
  {
    id: 47,
    input: 'no time channel',
    bytes: () =>
      utf8(
        textOf(
          plainRows().map((row) => row.slice(1)),
          { header: plainHeader.slice(1) },
        ),
      ),
    outcome: 'E_NO_TIME',
    exit: 1,
  },
  {
    id: 47,
    input: 'no time channel, a rate given',
    bytes: () =>
      utf8(
        textOf(
          plainRows().map((row) => row.slice(1)),
          { header: plainHeader.slice(1) },
        ),
      ),
    outcome: 'SILENT',
    exit: 0,
    options: { rateHz: 25 },
    holds: (log) => log.timeS[1] === 0.04,
  },
  {
    id: 48,
    input: 'dropout',
    bytes: () => utf8(withColumn(0, (i) => (0.04 * i + (i < 30 ? 0 : 2.5)).toFixed(2))),
    outcome: 'W_GAP',
    exit: 0,
    count: 1,
    holds: (log) => log.parts.length === 2 && readsPlain(log),
  },
  {
    id: 49,
    input: 'channels at their own rates',
    bytes: () => utf8(textOf(plainRows().map((row, i) => [row[0]!, row[1]!, i % 5 === 0 ? row[2]! : '', i % 2 === 0 ? row[3]! : '']))),
    outcome: 'SILENT',
    exit: 0,
    holds: (log) =>
      Number.isNaN(findChannel(log, 'road-speed')!.values[1]!) &&
      findChannel(log, 'road-speed')!.fresh[1] === 0 &&
      Math.abs(findChannel(log, 'road-speed')!.refreshS!.median - 0.2) < 1e-9,
  },
  {
    id: 50,
    input: 'jitter',
    bytes: () => utf8(withColumn(0, (i) => (0.04 * i + 0.004 * Math.sin(i * 2.3)).toFixed(4).replace('-', ''))),
    outcome: 'SILENT',
    exit: 0,
    holds: (log) => log.timeS[2]! - log.timeS[1]! !== log.timeS[3]! - log.timeS[2]!,
  },
  {
    id: 51,
    input: 'stamps in ticks of 10 ms at 64 Hz',
    bytes: () => utf8(withColumn(0, (i) => (Math.floor((i * 100) / 64) / 100).toFixed(2))),
    outcome: 'W_TIME_QUANTISED',
    exit: 0,
    holds: (log) => Math.abs(log.timeTickS - 0.01) < 1e-12,
  },
  {
    id: 52,
    input: 'tokens for no reading',
    bytes: () => utf8(withColumn(3, (i, old) => ['NaN', 'Inf', '#N/A', '---', 'null', '#DIV/0!'][i] ?? old)),
    outcome: 'W_MISSING_TOKENS',
    exit: 0,
    count: 6,
    holds: (log) => readsPlain(log) && findChannel(log, 'manifold-pressure')!.missing === 6,
  },
  {
    id: 53,
    input: 'ON/OFF',
    bytes: () => utf8(withHeader([...plainHeader, 'Fan'], (i) => [i < 20 ? 'OFF' : 'ON'])),
    outcome: 'SILENT',
    exit: 0,
    holds: (log) => log.channels[4]!.values[0] === 0 && log.channels[4]!.values[30] === 1,
  },
  {
    id: 53,
    input: 'true/false',
    bytes: () => utf8(withHeader([...plainHeader, 'Brake'], (i) => [String(i > 20)])),
    outcome: 'SILENT',
    exit: 0,
    holds: (log) => log.channels[4]!.values[30] === 1,
  },
  {
    id: 54,
    input: 'sentinels',
    bytes: () =>
      utf8(withHeader([...plainHeader, 'Intake air temperature (°C)'], (i) => [i >= 10 && i < 14 ? '-40' : String(31 + (i % 3))])),
    outcome: 'W_SENTINEL',
    exit: 0,
    count: 4,
    holds: (log) => findChannel(log, 'intake-temperature')!.missing === 4,
  },
  {
    id: 54,
    input: 'sentinel 65535 and 999.9',
    bytes: () => utf8(withColumn(3, (i, old) => (i === 7 ? '65535' : old))),
    outcome: 'W_SENTINEL',
    exit: 0,
    count: 1,
    holds: (log) => missing(log, 1),
  },
  {
    id: 55,
    input: 'exponents and bare points',
    bytes: () => utf8(withHeader([...plainHeader, 'Aux'], (i) => [['1.2e3', '+1.5E-03', '.5', '5.'][i % 4]!])),
    outcome: 'SILENT',
    exit: 0,
    holds: (log) => same([...log.channels[4]!.values].slice(0, 4), [1200, 0.0015, 0.5, 5]),
  },
  {
    id: 56,
    input: '0x1F, 1_000, 12 kPa as cells',
    bytes: () => utf8(withColumn(3, (i, old) => ['0x1F', '1_000', '12 kPa'][i] ?? old)),
    outcome: 'W_NOT_A_NUMBER',
    exit: 0,
    count: 3,
    holds: (log) => findChannel(log, 'manifold-pressure')!.missing === 3,
  },
  {
    id: 56,
    input: 'a unit in every cell',
    bytes: () => utf8(withColumn(3, (_, old) => `${old} kPa`, 'MAP')),
    outcome: 'SILENT',
    exit: 0,
    holds: (log) => findChannel(log, 'manifold-pressure')?.unit === 'kPa' && findChannel(log, 'manifold-pressure')?.values[0] === 98_000,
  },
  {
    id: 57,
    input: '1e400 and 400 digits',
    bytes: () => utf8(withColumn(3, (i, old) => ['1e400', '9'.repeat(400)][i] ?? old)),
    outcome: 'W_OUT_OF_RANGE',
    exit: 0,
    count: 2,
    holds: (log) => findChannel(log, 'manifold-pressure')!.missing === 2,
  },
  {
    id: 58,
    input: 'integers beyond 2^53',
    bytes: () => utf8(withHeader([...plainHeader, 'Counter'], (i) => [`90071992547409930${10 + i}`])),
    outcome: 'W_PRECISION',
    exit: 0,
    count: 60,
    holds: readsPlain,
  },
  {
    id: 59,
    input: 'text only after row 20,480',
    bytes: () =>
      utf8(
        textOf(
          Array.from({ length: 20_600 }, (_, i) => {
            const row = plainRow(i);
            if (i === 20_500) row[3] = 'fault';
            return row;
          }),
        ),
      ),
    outcome: 'W_NOT_A_NUMBER',
    exit: 0,
    count: 1,
    holds: (log) => findChannel(log, 'manifold-pressure')!.missing === 1,
  },
  {
    id: 60,
    input: 'short and long rows',
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
  {
    id: 63,
    input: 'stuck channel',
    bytes: () => utf8(withColumn(3, () => '99.0')),
    outcome: 'W_STUCK',
    exit: 0,
    count: 60,
    holds: readsPlain,
  },
  {
    id: 64,
    input: 'lambda named AFR',
    bytes: () => utf8(withColumn(3, (i) => (0.85 + 0.001 * (i % 9)).toFixed(3), 'AFR')),
    outcome: 'W_IMPLAUSIBLE',
    exit: 0,
    holds: readsPlain,
  },
  {
    id: 64,
    input: 'gauge for absolute',
    bytes: () => utf8(withColumn(3, (i) => (-60 + 2 * i).toFixed(1))),
    outcome: 'W_IMPLAUSIBLE',
    exit: 0,
    holds: readsPlain,
  },
  {
    id: 64,
    input: '°F as °C',
    bytes: () => utf8(withHeader([...plainHeader, 'Coolant temperature (°C)'], (i) => [String(185 + (i % 5))])),
    outcome: 'W_IMPLAUSIBLE',
    exit: 0,
    holds: readsPlain,
  },
  {
    id: 64,
    input: 'mph as km/h',
    bytes: () => utf8(withHeader([...plainHeader, 'GPS speed (km/h)'], (i) => [((40 + 0.31 * i) * 1.609344).toFixed(2)])),
    outcome: 'W_IMPLAUSIBLE',
    exit: 0,
    holds: readsPlain,
  },
  {
    id: 64,
    input: 'ms as s',
    bytes: () => utf8(withColumn(0, (i) => String(40 * i))),
    outcome: 'W_IMPLAUSIBLE',
    exit: 0,
    holds: readsPlain,
  },
  {
    id: 65,
    input: 'C, F, bar g as units',
    bytes: () =>
      utf8(
        textOf(
          plainRows().map((row, i) => [row[0]!, row[1]!, String(88 + (i % 4)), String(70 + (i % 3)), (0.1 + 0.01 * i).toFixed(2)]),
          { header: ['Time (s)', 'Engine speed (rpm)', 'Coolant temperature (C)', 'Intake air temperature (F)', 'Boost (bar g)'] },
        ),
      ),
    outcome: 'SILENT',
    exit: 0,
    holds: (log) =>
      findChannel(log, 'coolant-temperature')?.values[0] === 361.15 &&
      Math.abs(findChannel(log, 'intake-temperature')!.values[0]! - 294.261) < 0.001 &&
      findChannel(log, 'manifold-pressure')?.reference === 'gauge',
  },
  {
    id: 66,
    input: 'more rows than fit, streamed with few channels',
    bytes: () => large(),
    outcome: 'SILENT',
    exit: 0,
    options: { only: ['engine-speed'] },
    holds: (log) => log.rows === 200_000 && log.channels.length === 2,
    libraryOnly: true,
  },
  {
    id: 67,
    input: 'one endless line',
    bytes: () => ({ [Symbol.iterator]: endless }),
    outcome: 'E_LINE_TOO_LONG',
    exit: 1,
    options: {},
    libraryOnly: true,
  },
  {
    id: 67,
    input: 'one line of 9 MiB',
    bytes: () => utf8(`${plainText()}${'7'.repeat(9 * 1024 * 1024)}\n`),
    outcome: 'E_LINE_TOO_LONG',
    exit: 1,
  },
  { id: 68, input: 'gzip', bytes: () => gzipSync(utf8(plainText())), outcome: 'E_COMPRESSED', exit: 1 },
  { id: 68, input: 'zip', bytes: () => latin1(`PK\x03\x04\x14\0\0\0\x08\0${'x'.repeat(200)}`), outcome: 'E_COMPRESSED', exit: 1 },
  {
    id: 69,
    input: 'workbook renamed .csv',
    bytes: () => latin1(`PK\x03\x04\x14\0\x06\0\x08\0${'\0'.repeat(16)}[Content_Types].xml${'x'.repeat(200)}`),
    outcome: 'E_SPREADSHEET',
    exit: 1,
  },
  {
    id: 69,
    input: 'older workbook renamed .csv',
    bytes: () => latin1(`\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1${'\0'.repeat(500)}`),
    outcome: 'E_SPREADSHEET',
    exit: 1,
  },
  { id: 70, input: 'binary', bytes: () => Uint8Array.from({ length: 5000 }, (_, i) => (i * 7919) % 251), outcome: 'E_NOT_TEXT', exit: 1 },
  { id: 70, input: 'PDF', bytes: () => latin1('%PDF-1.7\n%\xe2\xe3\xcf\xd3\n1 0 obj\n'), outcome: 'E_NOT_TEXT', exit: 1 },
  {
    id: 70,
    input: 'HTML page',
    bytes: () => utf8('<!DOCTYPE html>\n<html><body>Not found</body></html>\n'),
    outcome: 'E_NOT_TEXT',
    exit: 1,
  },
  {
    id: 75,
    input: 'script in a name and a unit',
    bytes: () => utf8(withHeader([...plainHeader, '<script>alert(1)</script> [<b>kPa</b>]'], (i) => [String(i)])),
    outcome: 'SILENT',
    exit: 0,
    holds: (log) => readsPlain(log) && log.channels[4]!.name.startsWith('<script>'),
  },
  {
    id: 76,
    input: 'markup of figure labels in names',
    bytes: () =>
      utf8(
        withHeader(
          [...plainHeader, '$\\href{javascript:alert(1)}{x}$', '<a href="x">y</a>'].map((name) =>
            name.includes('"') ? `"${name.replaceAll('"', '""')}"` : name,
          ),
          (i) => [String(i), String(i)],
        ),
      ),
    outcome: 'SILENT',
    exit: 0,
    holds: (log) => readsPlain(log) && log.channels.at(-1)!.name === '<a href="x">y</a>',
  },
];

/** Lines of the table that are no matter of reading: the test that holds each. */
export const heldElsewhere: ReadonlyMap<number, string> = new Map(
  [71, 72, 73, 74, 77, 78, 79, 80].map((id) => [id, id === 80 ? 'compare' : 'the command line']),
);

function large(): Iterable<Uint8Array> {
  return {
    *[Symbol.iterator]() {
      yield utf8(`${plainHeader.join(',')}\n`);
      for (let i = 0; i < 200_000; i += 1000)
        yield utf8(
          Array.from(
            { length: 1000 },
            (_, k) => `${[((i + k) * 0.04).toFixed(2), ...plainRow(Math.min(k, 1000 - k)).slice(1)].join(',')}\n`,
          ).join(''),
        );
    },
  };
}
