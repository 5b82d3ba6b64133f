import { findChannel, type Log } from '@pullproof/core';
import { plainHeader, plainRow, textOf, utf8 } from '../fixture.js';
import { type BadInput, withHeader } from './entry.js';

const silent = (input: string, bytes: () => Uint8Array, holds?: (log: Log) => boolean): BadInput => ({
  id: 90,
  input,
  bytes,
  outcome: 'SILENT',
  exit: 0,
  ...(holds === undefined ? {} : { holds }),
});

/** 90: what is right, and must not be told as wrong. */
export const falseFindings: readonly BadInput[] = [
  silent(
    'a real −1 °C beside 0 °C',
    () => utf8(withHeader([...plainHeader, 'Ambient temperature (°C)'], (i) => [i < 20 ? '0' : '-1'])),
    (log) => findChannel(log, 'ambient-temperature')!.missing === 0,
  ),
  silent('air flow that stands still with the engine off', () =>
    utf8(
      textOf(
        Array.from({ length: 200 }, (_, i) => [
          ...plainRow(i).map((cell, c) => (c === 1 && i < 100 ? '0' : c === 2 && i < 100 ? '0.00' : cell)),
          i < 100 ? '0.91' : (3 + ((i * 7) % 13) / 10).toFixed(2),
        ]),
        { header: [...plainHeader, 'Air mass flow (g/s)'] },
      ),
    ),
  ),
  {
    id: 90,
    input: 'the other thermometer is wrong, not the intake air in °F',
    place: { channel: 'Intake air temperature (°C)' },
    bytes: () =>
      utf8(
        withHeader([...plainHeader, 'Intake air temperature (°C)', 'Ambient temperature (°C)', 'Coolant temperature (°C)'], (i) => [
          String(31 + (i % 3)),
          '-6',
          String(88 + (i % 4)),
        ]),
      ),
    outcome: 'W_IMPLAUSIBLE',
    exit: 0,
    holds: (log) => log.findings.length === 1 && log.findings[0]!.message.includes('one of the two thermometers is wrong'),
  },
];
