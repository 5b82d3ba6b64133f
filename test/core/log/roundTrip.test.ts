import { findUnit, PullproofError, readLog } from '@pullproof/core';
import fc from 'fast-check';
import { expect, it } from 'vitest';
import { chunked, type WrittenLog, writeLog, writings } from './randomLog.js';

/** 20,000 in CI; any number in process with PULLPROOF_ROUND_TRIPS. */
const cases = Number(process.env.PULLPROOF_ROUND_TRIPS ?? 20_000);
const slowestMs = 2000;

it(`reads ${cases} tables back from random writings, or stops with a code`, () => {
  let stops = 0;
  const codes = new Map<string, number>();
  fc.assert(
    fc.property(writings, (writing) => {
      const written = writeLog(writing);
      const start = performance.now();
      const wrong = difference(written, chunked(written.bytes, writing.chunk), codes);
      if (wrong === 'stopped') stops++;
      else if (wrong !== null) throw new Error(`${wrong}\n${written.text.slice(0, 1500)}`);
      if (performance.now() - start > slowestMs) throw new Error('slower than 2 s');
    }),
    { numRuns: cases, seed: 20260502, endOnFailure: false },
  );
  console.log(`${stops} of ${cases} stopped: ${JSON.stringify([...codes])}`);
  // A reader that refuses everything would pass the rest of this test.
  expect(stops / cases).toBeLessThan(0.04);
}, 3_600_000);

/** What differs between the table and what was read of it; `stopped` for a refusal with a code; null when nothing does. */
function difference(written: WrittenLog, source: ReturnType<typeof chunked>, codes: Map<string, number>): string | null {
  let log: ReturnType<typeof readLog>;
  try {
    log = readLog(source, { path: 'random.csv' });
  } catch (error) {
    if (!(error instanceof PullproofError)) throw error;
    codes.set(error.code, (codes.get(error.code) ?? 0) + 1);
    return 'stopped';
  }
  const rows = written.timesS.length;
  const dropped = log.findings.filter(({ code }) => code === 'W_TORN_ROW').length;
  if (log.rows + log.rowsDropped !== rows || log.rowsDropped !== dropped)
    return `${log.rows} rows read, ${log.rowsDropped} dropped, of ${rows}: ${JSON.stringify(log.findings)}`;
  for (let i = 0; i < log.rows; i++) {
    if (Math.abs(log.timeS[i]! - written.timesS[log.rowNumbers[i]! - 1]!) > 1e-6)
      return `time of row ${i + 1}: ${log.timeS[i]} for ${written.timesS[i]}`;
  }
  if (log.channels.length !== written.columns.length + 1)
    return `${log.channels.length} channels for ${written.columns.length + 1} columns`;
  for (const [c, column] of written.columns.entries()) {
    const channel = log.channels[c + 1]!;
    if (!channel.name.startsWith(column.kind.name)) return `column ${c + 2} is called ${channel.name}`;
    const unit = channel.quantity === null ? null : findUnit(channel.unit === '' ? column.kind.unit : channel.unit);
    for (let i = 0; i < log.rows; i++) {
      const text = column.cells[i]!;
      const logged = text === '' ? Number.NaN : Number(text);
      const expected = unit === null ? logged : unit.toSi(logged);
      const read = channel.values[i]!;
      if (read === expected || (Number.isNaN(read) && Number.isNaN(expected))) continue;
      const excused = Number.isNaN(read) && log.findings.some(({ code, where }) => code === 'W_SENTINEL' && where.channel === channel.name);
      if (!excused) return `${channel.name} row ${i + 1}: ${read} for ${text} (${channel.quantity}, ${channel.unit})`;
    }
  }
  return null;
}
