import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { type Log, PullproofError, readLog } from '@pullproof/core';
import { describe, expect, it } from 'vitest';
import { plainText, utf8 } from './fixture.js';

/** Each sample log of the repository, and logs written here in other dialects. */
function logs(): [string, Uint8Array][] {
  const written: [string, Uint8Array][] = [
    ['plain', utf8(plainText({ rows: 3000 }))],
    ['semicolons, decimal commas, CRLF', utf8(plainText({ rows: 1500, delimiter: ';', decimal: ',', end: '\r\n' }))],
    ['whole numbers at the end', utf8(plainText({ rows: 1500 }).replaceAll(/,([^,\n]*)\.\d\n/g, ',$1\n'))],
  ];
  const folder = 'sample-logs';
  const samples = existsSync(folder) ? readdirSync(folder).filter((file) => file.endsWith('.csv')) : [];
  return [...written, ...samples.map((file): [string, Uint8Array] => [file, readFileSync(join(folder, file))])];
}

describe('a log cut off anywhere', () => {
  it.each(logs())('%s keeps every whole row and drops at most the torn one', (_, bytes) => {
    let whole: Log | null = null;
    try {
      whole = readLog(bytes, { path: 'whole.csv' });
    } catch (error) {
      if (!(error instanceof PullproofError)) throw error;
    }
    // Files of the folder that are no logs (timeslips) are refused whole, and stay refused.
    if (whole === null) return;
    const lineEnds = [...bytes.keys()].filter((i) => bytes[i] === 10);
    const last = lineEnds.length - 1 - whole.rows;
    let read = 0;
    for (let percent = 1; percent < 100; percent++) {
      const cut = Math.floor((bytes.length * percent) / 100);
      const wholeRows = lineEnds.filter((at) => at < cut).length - 1 - last;
      let log: Log;
      try {
        log = readLog(bytes.subarray(0, cut), { path: 'cut.csv' });
      } catch (error) {
        if (!(error instanceof PullproofError) || wholeRows > 40) throw error;
        continue;
      }
      read++;
      expect(log.rows).toBeGreaterThanOrEqual(wholeRows);
      expect(log.rows).toBeLessThanOrEqual(wholeRows + 1);
      for (const [c, channel] of log.channels.entries()) {
        const before = whole.channels[c]!;
        expect(channel.name).toBe(before.name);
        // Recognition by range may wait for more rows; numbers may not.
        if (channel.quantity !== before.quantity || channel.unit !== before.unit) continue;
        for (let i = 0; i < wholeRows; i++) {
          if (!Object.is(channel.values[i], before.values[i]) && !Number.isNaN(channel.values[i]! - before.values[i]!)) {
            throw new Error(`${channel.name} row ${i + 1} at ${percent} %: ${channel.values[i]} for ${before.values[i]}`);
          }
        }
      }
    }
    expect(read).toBeGreaterThan(85);
  });
});
