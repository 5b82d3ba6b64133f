import { findChannel, type Log } from '@pullproof/core';
import { plainHeader, plainRows, plainText, textOf, utf8 } from '../fixture.js';
import { type BadInput, clock, readsPlain, withColumn } from './entry.js';

const goesOn = (log: Log) => log.parts.length === 2 && log.rows === 60 && log.timeS.every((time, i) => i === 0 || time > log.timeS[i - 1]!);
/** A clock that is set back between two rows: the stamp falls by so much, and then runs on. */
const setBack = (byS: number): BadInput => ({
  id: 87,
  input: `a clock that is set back by ${byS} s`,
  place: { row: 31 },
  bytes: () => utf8(withColumn(0, (i) => (100 + 0.04 * i - (i < 30 ? 0 : byS + 0.04)).toFixed(2))),
  outcome: 'W_CLOCK_JUMP',
  exit: 0,
  count: 1,
  holds: (log) => readsPlain(log) && goesOn(log),
});
const stamps = (input: string, stamp: (i: number) => string, stepS: number, name = 'Device Time'): BadInput => ({
  id: 87,
  input,
  bytes: () => utf8(withColumn(0, (i) => stamp(i), name)),
  outcome: 'SILENT',
  exit: 0,
  holds: (log) => readsPlain(log) && Math.abs(log.timeS[59]! - 59 * stepS) < 1e-6,
});
const beside = (first: (i: number) => string, second: (i: number) => string, names: readonly string[]) =>
  utf8(
    textOf(
      plainRows().map((row, i) => [first(i), second(i), ...row.slice(1)]),
      { header: [...names, ...plainHeader.slice(1)] },
    ),
  );
const runs = (log: Log) => readsPlain(log) && Math.abs(log.timeS[59]! - 59 * 0.04) < 1e-6;

/** 87: clocks as they are. */
export const clocks: readonly BadInput[] = [
  setBack(0.04),
  setBack(0.1),
  setBack(0.3),
  setBack(0.5),
  stamps('the month by name', (i) => `14-Nov-2026 ${clock(50_712.005 + 0.04 * i)}`, 0.04),
  stamps('day and month by name, with a zone', (i) => `Sat Nov 14 ${clock(50_712 + i).slice(0, 8)} GMT 2026`, 1, 'GPS Time'),
  stamps('day and month by name, with an offset', (i) => `Sat Nov 14 ${clock(50_712 + i).slice(0, 8)} GMT+01:00 2026`, 1, 'GPS Time'),
  stamps('the month by its French name', (i) => `14 févr. 2026 ${clock(50_712 + 0.04 * i)}`, 0.04, 'Horodatage'),
  {
    id: 87,
    input: 'a clock that stands still beside one that runs',
    bytes: () =>
      beside(
        () => '0.00',
        (i) => clock(50_000 + 0.04 * i),
        ['Time (s)', 'h:m:s'],
      ),
    outcome: 'SILENT',
    exit: 0,
    holds: runs,
  },
  {
    id: 87,
    input: 'a clock in whole seconds beside one in milliseconds',
    bytes: () =>
      beside(
        (i) => clock(50_000 + 0.04 * i).slice(0, 8),
        (i) => String(40 * i),
        ['Time', 'Elapsed (ms)'],
      ),
    outcome: 'SILENT',
    exit: 0,
    holds: runs,
  },
  {
    id: 87,
    input: 'no column called time, one that rises like it',
    bytes: () => utf8(plainText().replace('Time (s)', 'Stempel')),
    outcome: 'E_NO_TIME',
    exit: 1,
  },
  {
    id: 87,
    input: 'the same, stated',
    bytes: () => utf8(plainText().replace('Time (s)', 'Stempel')),
    outcome: 'SILENT',
    exit: 0,
    options: { channels: new Map([['Stempel', 'time s']]) },
    holds: runs,
  },
  {
    id: 87,
    input: 'a stated rate beside a time column that says otherwise',
    place: { channel: 'Time (s)' },
    bytes: () => utf8(plainText()),
    outcome: 'W_RATE',
    exit: 0,
    options: { rateHz: 10 },
    holds: (log) => readsPlain(log) && log.timeS[1] === 0.1 && findChannel(log, 'road-speed')!.refreshS!.median > 0.09,
  },
];
