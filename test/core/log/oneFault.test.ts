import { type Log, PullproofError, randomStream, readLog } from '@pullproof/core';
import { describe, expect, it } from 'vitest';
import { utf8 } from './fixture.js';
import { type Cost, faults, linesOf, plainLog } from './oneFault.js';

/** All kinds together. 20,000 of them were run once, see docs/reading.md; the suite runs fewer. */
const cases = Number(process.env.PULLPROOF_FAULTS ?? 1800);

/** What differs between a log and the same log with one fault, beyond what the fault may cost; empty where nothing does. */
function differences(whole: Log, faulty: Log, { row, column, breakAt }: Cost): string[] {
  const found: string[] = [];
  const names = (log: Log) => log.channels.map(({ name, quantity, unit, standing }) => [name, quantity, unit, standing].join(' '));
  if (names(whole).join() !== names(faulty).join()) return [`channels ${names(faulty).join()} for ${names(whole).join()}`];
  const lost = whole.rows - faulty.rows;
  if (lost !== 0 && !(lost === 1 && row >= 0)) return [`${lost} rows lost`];
  if (lost === 0 && row >= 0 && column === -1) found.push('a misshapen row was kept');
  for (let i = 0; i < faulty.rows; i++) {
    const at = lost === 1 && i >= row ? i + 1 : i;
    for (const [c, channel] of faulty.channels.entries()) {
      if (channel.quantity === 'time') continue;
      const touched = lost === 0 && at === row && c === column;
      const value = channel.values[i]!;
      if (Object.is(value, whole.channels[c]!.values[at]!) || (touched && Number.isNaN(value))) continue;
      found.push(`${channel.name} row ${at + 1}: ${value} for ${whole.channels[c]!.values[at]}`);
    }
    const before = lost === 1 && row === 0 ? whole.timeS[1]! : 0;
    const time = faulty.timeS[i]! + before - whole.timeS[at]!;
    if (breakAt === undefined ? Math.abs(time) > 1e-9 : at < breakAt && Math.abs(time) > 1e-9)
      found.push(`time of row ${at + 1} moved by ${time}`);
  }
  if (breakAt !== undefined && (faulty.parts.length !== 2 || faulty.parts[1]!.from !== breakAt))
    found.push('no break where the clock was set back');
  if (breakAt === undefined && faulty.parts.length !== whole.parts.length) found.push('the recording was parted');
  return found;
}

describe('one fault at a random place of a random log', () => {
  it.each(faults.map((fault, kind) => [fault.name, fault, kind] as const))('%s: nothing else changes', (_, fault, kind) => {
    const bad: string[] = [];
    for (let i = 0; i < Math.ceil(cases / faults.length); i++) {
      const random = randomStream(1 + kind * 1_000_003 + i);
      const log = plainLog(random);
      const end = log.end;
      const written = (lines: readonly string[]) => utf8(lines.map((line) => line + end).join(''));
      const lines = linesOf(log);
      const whole = readLog(written(lines), { path: 'a.csv' });
      const cost = fault.plant(lines, log, random);
      const torn = fault.name === 'a last line torn off';
      try {
        const bytes = written(lines);
        const faulty = readLog(torn ? bytes.subarray(0, bytes.length - end.length) : bytes, { path: 'a.csv' });
        bad.push(...differences(whole, faulty, cost).map((text) => `case ${i}: ${text}`));
        if (cost.told && faulty.findings.length <= whole.findings.length) bad.push(`case ${i}: nothing is said`);
      } catch (error) {
        if (!(error instanceof PullproofError)) throw error;
        bad.push(`case ${i}: refused, ${error.message}`);
      }
    }
    expect(bad.slice(0, 10)).toEqual([]);
  });
});
