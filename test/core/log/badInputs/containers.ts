import { gzipSync } from 'node:zlib';
import { findChannel } from '@pullproof/core';
import { latin1, plainHeader, plainRow, plainRows, plainText, textOf, utf8, utf16 } from '../fixture.js';
import { type BadInput, endless, named, readsPlain, withHeader } from './entry.js';

/** Encodings, and files that are no delimited text or too large. */
export const containers: readonly BadInput[] = [
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
];

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
