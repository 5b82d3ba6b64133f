import { findChannel } from '@pullproof/core';
import { plainHeader, plainRow, plainRows, textOf, utf8 } from '../fixture.js';
import { type BadInput, missing, readsPlain, same, withColumn, withHeader } from './entry.js';

/** What cells hold, and channels whose numbers cannot be right. */
export const cells: readonly BadInput[] = [
  {
    id: 52,
    input: 'tokens for no reading',
    place: { row: 1 },
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
    place: { channel: 'Intake air temperature (°C)' },
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
    place: { row: 1, channel: 'MAP (kPa)' },
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
    place: { row: 1, channel: 'MAP (kPa)' },
    bytes: () => utf8(withColumn(3, (i, old) => ['1e400', '9'.repeat(400)][i] ?? old)),
    outcome: 'W_OUT_OF_RANGE',
    exit: 0,
    count: 2,
    holds: (log) => findChannel(log, 'manifold-pressure')!.missing === 2,
  },
  {
    id: 58,
    input: 'integers beyond 2^53',
    place: { row: 1, channel: 'Counter' },
    bytes: () => utf8(withHeader([...plainHeader, 'Counter'], (i) => [`90071992547409930${10 + i}`])),
    outcome: 'W_PRECISION',
    exit: 0,
    count: 60,
    holds: readsPlain,
  },
  {
    id: 59,
    input: 'text only after row 20,480',
    place: { row: 20501, channel: 'MAP (kPa)' },
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
    id: 63,
    input: 'stuck channel',
    place: { channel: 'MAP (kPa)' },
    bytes: () => utf8(withColumn(3, () => '99.0')),
    outcome: 'W_STUCK',
    exit: 0,
    count: 60,
    holds: readsPlain,
  },
  {
    id: 64,
    input: 'lambda named AFR',
    place: { channel: 'AFR' },
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
    place: { channel: 'Vehicle speed (km/h)' },
    bytes: () => utf8(withHeader([...plainHeader, 'GPS speed (km/h)'], (i) => [((40 + 0.31 * i) * 1.609344).toFixed(2)])),
    outcome: 'W_IMPLAUSIBLE',
    exit: 0,
    holds: readsPlain,
  },
  {
    id: 64,
    input: 'ms as s',
    place: { channel: 'Time (s)' },
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
