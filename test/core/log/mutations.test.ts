import { PullproofError, randomStream, readLog } from '@pullproof/core';
import fc from 'fast-check';
import { expect, it } from 'vitest';
import { utf8 } from './fixture.js';
import { chunked, writeLog, writings } from './randomLog.js';

const cases = Number(process.env.PULLPROOF_MUTATIONS ?? 6000);

/** Bytes that readers trip over. */
const nasty: readonly number[] = [0, 9, 10, 13, 32, 34, 35, 39, 44, 45, 46, 59, 0x1b, 0x80, 0xb0, 0xc3, 0xe2, 0xff, 0x65, 0x3a];

function mutated(bytes: Uint8Array, seed: number, count: number): Uint8Array {
  const random = randomStream(seed);
  const out = [...bytes];
  for (let i = 0; i < count; i++) {
    const at = Math.floor(random.uniform() * out.length);
    const byte = nasty[Math.floor(random.uniform() * nasty.length)]!;
    const how = random.uniform();
    if (how < 0.3) out.splice(at, 1);
    else if (how < 0.6) out.splice(at, 0, byte);
    else if (how < 0.8) out[at] = byte;
    else if (how < 0.9) out.splice(at, Math.floor(random.uniform() * 60));
    else out.splice(at, 0, ...out.slice(Math.max(0, at - 40), at));
  }
  return Uint8Array.from(out);
}

it(`reads ${cases} damaged files, or stops with a code: no crash, no hang, no time that falls`, () => {
  fc.assert(
    fc.property(writings, fc.integer(), fc.integer({ min: 1, max: 12 }), (writing, seed, count) => {
      const bytes = mutated(writeLog(writing).bytes, seed, count);
      const start = performance.now();
      try {
        const log = readLog(chunked(bytes, writing.chunk), { path: 'damaged.csv' });
        expect(log.timeS).toHaveLength(log.rows);
        for (const channel of log.channels) {
          expect(channel.values).toHaveLength(log.rows);
          expect(channel.values.some((value) => value === Number.POSITIVE_INFINITY || value === Number.NEGATIVE_INFINITY)).toBe(false);
          expect(channel.missing).toBe(channel.values.reduce((sum, value) => sum + (Number.isNaN(value) ? 1 : 0), 0));
          for (let i = 0; i < log.rows; i++) if (channel.fresh[i] === 1) expect(channel.values[i]).not.toBeNaN();
        }
        for (const { from, to } of log.parts) for (let i = from + 1; i < to; i++) expect(log.timeS[i]! >= log.timeS[i - 1]!).toBe(true);
      } catch (error) {
        if (!(error instanceof PullproofError)) throw error;
      }
      expect(performance.now() - start).toBeLessThan(2000);
    }),
    { numRuns: cases, seed: 11 },
  );
}, 600_000);

it('never shifts a column: a row that lost or won a delimiter is left out, and said', () => {
  const random = randomStream(21);
  const rows = Array.from({ length: 80 }, (_, i) => [
    (i * 0.04).toFixed(2),
    ...Array.from({ length: 6 }, (_, c) => (100 * (c + 1) + random.uniform()).toFixed(3)),
  ]);
  const header = 'Time (s),a,b,c,d,e,f';
  for (let trial = 0; trial < 300; trial++) {
    const lines = rows.map((row) => row.join(','));
    const hit = Math.floor(random.uniform() * lines.length);
    const commas = [...lines[hit]!].flatMap((character, i) => (character === ',' ? [i] : []));
    const at = commas[Math.floor(random.uniform() * commas.length)]!;
    lines[hit] =
      trial % 2 === 0 ? lines[hit]!.slice(0, at) + lines[hit]!.slice(at + 1) : `${lines[hit]!.slice(0, at)},${lines[hit]!.slice(at)}`;
    const log = readLog(utf8(`${header}\n${lines.join('\n')}\n`), { path: 'a.csv' });
    expect(log.findings.map(({ code, count }) => [code, count])).toEqual([['W_RAGGED', 1]]);
    expect([...log.rowNumbers]).toEqual(rows.map((_, i) => i + 1).filter((row) => row !== hit + 1));
    for (const channel of log.channels.slice(1)) {
      for (const value of channel.values) expect(Math.floor(value / 100)).toBe(channel.column);
    }
  }
});
