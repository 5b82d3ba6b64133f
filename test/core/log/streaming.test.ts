import { findChannel, PullproofError, readLimits, readLog } from '@pullproof/core';
import { describe, expect, it } from 'vitest';
import { plainHeader, plainRow, plainText, utf8 } from './fixture.js';

/** The chunks of a text as a source that can be walked once, counting what was asked for. */
function once(bytes: Uint8Array, size: number, count: { chunks: number }): Iterable<Uint8Array> {
  function* walk(): Generator<Uint8Array> {
    for (let at = 0; at < bytes.length; at += size) {
      count.chunks++;
      yield bytes.subarray(at, at + size);
    }
  }
  return walk();
}

/** Rows of a plain log without end to them, made as they are asked for. */
function longLog(rows: number, wide = 0): Iterable<Uint8Array> {
  return {
    *[Symbol.iterator]() {
      const extra = (i: number) =>
        wide === 0 ? '' : `,${Array.from({ length: wide }, (_, c) => ((i * (c + 3)) % 1000) / 1000).join(',')}`;
      yield utf8(`${plainHeader.join(',')}${Array.from({ length: wide }, (_, c) => `,Aux ${c + 1}`).join('')}\n`);
      for (let i = 0; i < rows; i += 500) {
        yield utf8(
          Array.from(
            { length: 500 },
            (_, k) => `${[((i + k) * 0.04).toFixed(2), ...plainRow(Math.min(k, 500 - k)).slice(1)].join(',')}${extra(k)}\n`,
          ).join(''),
        );
      }
    },
  };
}

const failure = (act: () => unknown): string => {
  try {
    act();
  } catch (error) {
    if (error instanceof PullproofError) return error.code;
    throw error;
  }
  return 'none';
};

describe('chunks', () => {
  it('give the same log as the whole, once or again', () => {
    const bytes = utf8(plainText({ rows: 4000, end: '\r\n' }));
    const whole = readLog(bytes, { path: 'a.csv' });
    const count = { chunks: 0 };
    expect(readLog(once(bytes, 1000, count), { path: 'a.csv' })).toEqual(whole);
    expect(count.chunks).toBe(Math.ceil(bytes.length / 1000));
  });

  it('that can be walked once do for a decimal mark that only the last row settles', () => {
    const text = `Time (ms);Lambda\n${Array.from({ length: 90_000 }, (_, i) => `${i * 40};1,${100 + (i % 800)}`).join('\n')}\n3600000;0,912\n`;
    const log = readLog(once(utf8(text), 65_536, { chunks: 0 }), { path: 'a.csv' });
    expect(log.dialect.decimal).toBe(',');
    expect(findChannel(log, 'lambda')!.values[0]).toBe(1.1);
  });

  it('do for a file whose first megabyte holds whole numbers and whose later rows have decimal commas', () => {
    const text = `Time (ms);Engine speed (rpm)\n${Array.from({ length: 120_000 }, (_, i) => `${i * 40};${2000 + (i % 900)}${i > 110_000 ? ',5' : ''}`).join('\n')}\n`;
    const log = readLog(once(utf8(text), 65_536, { chunks: 0 }), { path: 'a.csv' });
    expect(log.findings).toEqual([]);
    expect(findChannel(log, 'engine-speed')!.values[119_999]).toBe(2000 + (119_999 % 900) + 0.5);
  });

  it('reach a second table far down the file, with its own line numbers', () => {
    const first = Array.from({ length: 80_000 }, (_, i) => `${(i * 0.04).toFixed(2)},${3 + (i % 7)}.5`).join('\n');
    const text = `Time (s),Oil pressure (bar)\n${first}\n\n${plainText()}`;
    const line = 80_000 + 3;
    const source = () => once(utf8(text), 65_536, { chunks: 0 });
    try {
      readLog(source(), { path: 'a.csv' });
      expect.unreachable();
    } catch (error) {
      expect(error).toMatchObject({ code: 'E_MULTI_TABLE', where: { line } });
    }
    const second = readLog(source(), { path: 'a.csv', table: 2 });
    expect(second.rows).toBe(60);
    expect(second.channels).toHaveLength(4);
    expect(readLog(source(), { path: 'a.csv', table: 1 }).rows).toBe(80_000);
    const broken = `${text}2.40,1\n`;
    expect(readLog(utf8(broken), { path: 'a.csv', table: 2 }).findings[0]!.message).toContain(`lines ${line + 61} (2 fields)`);
  });
});

describe('the limits', () => {
  it('are as stated', () => {
    expect(readLimits).toMatchObject({ columns: 4096, lineBytes: 8 * 1024 * 1024, rows: 100_000_000, cells: 400_000_000 });
  });

  it('let as many columns pass, and no more', () => {
    const wide = (columns: number) =>
      utf8(
        [
          ['Time (s)', ...Array.from({ length: columns - 1 }, (_, i) => `c${i}`)],
          ...[0, 1, 2].map((i) => [`${i}.5`, ...Array.from({ length: columns - 1 }, () => String(i))]),
        ]
          .map((row) => `${row.join(',')}\n`)
          .join(''),
      );
    expect(readLog(wide(readLimits.columns), { path: 'a.csv' }).channels).toHaveLength(readLimits.columns);
    expect(failure(() => readLog(wide(readLimits.columns + 1), { path: 'a.csv' }))).toBe('E_TOO_MANY_COLUMNS');
  });

  it('let a line of almost the limit pass, and no longer', () => {
    const withComment = (length: number) =>
      utf8(`${plainText({ rows: 30 })}# ${'x'.repeat(length)}\n${plainText({ rows: 31 }).split('\n').slice(-2).join('\n')}`);
    expect(readLog(withComment(readLimits.lineBytes - 100), { path: 'a.csv' }).rows).toBe(31);
    expect(failure(() => readLog(withComment(readLimits.lineBytes + 2 * 1024 * 1024), { path: 'a.csv' }))).toBe('E_LINE_TOO_LONG');
  });

  it('stop at the cells that may be kept, naming the way out, unless fewer channels are asked for', () => {
    const options = { path: 'a.csv', maxCells: 200_000 };
    expect(failure(() => readLog(longLog(100_000, 4), options))).toBe('E_TOO_LARGE');
    expect(readLog(longLog(90_000, 4), { ...options, only: ['engine-speed'] }).rows).toBe(90_000);
    expect(() => readLog(longLog(100_000, 4), options)).toThrow(/fewer channels/);
  });

  it('hold memory to what was asked for', () => {
    const before = process.memoryUsage().arrayBuffers;
    const log = readLog(longLog(400_000, 20), { path: 'a.csv', only: ['engine-speed'] });
    const kept = log.channels.reduce((sum, channel) => sum + channel.values.byteLength + channel.fresh.byteLength, 0);
    expect(log.rows).toBe(400_000);
    // Two columns of 8 bytes, and less than 8 more a row for row numbers, who changed when, and what waits to be collected.
    expect(process.memoryUsage().arrayBuffers - before).toBeLessThan(kept + 400_000 * 8 + 80e6);
    expect(kept).toBeLessThan(400_000 * 18.1);
  });
});
