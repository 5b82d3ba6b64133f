import { findChannel } from '@pullproof/core';
import { plainHeader, plainRow, plainRows, textOf, utf8 } from '../fixture.js';
import { type BadInput, clock, readsPlain, withCell, withColumn } from './entry.js';

/** Time columns. */
export const times: readonly BadInput[] = [
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
];
