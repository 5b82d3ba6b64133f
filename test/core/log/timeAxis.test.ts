import { type Log, readLog } from '@pullproof/core';
import { describe, expect, it } from 'vitest';
import { readClock } from '../../../packages/core/src/log/text/clock.js';
import { utf8 } from './fixture.js';

const read = (times: readonly (string | number)[], name = 'Time (s)', options: object = {}): Log =>
  readLog(utf8(`${name},Engine speed (rpm)\n${times.map((time, i) => `${time},${2000 + 7 * i + (i % 3)}`).join('\n')}\n`), {
    path: 'a.csv',
    ...options,
  });

const even = (count: number, step = 0.04, start = 0) => Array.from({ length: count }, (_, i) => (start + i * step).toFixed(3));
const codes = (log: Log) => log.findings.map(({ code }) => code);

describe('clock texts', () => {
  it.each([
    ['19:05:25.389', 'clock', 68725.389],
    ['19:05:25,389', 'clock', 68725.389],
    ['19:05:25:389', 'clock', 68725.389],
    ['7:05:25.5 PM', 'clock-12', 68725.5],
    ['12:00:00 AM', 'clock-12', 0],
    ['12:00:00 pm', 'clock-12', 43200],
    ['05:25.4', 'minutes', 325.4],
    ['1970-01-02', 'date', 86400],
    ['1970-01-01T00:00:01.5Z', 'date-time', 1.5],
    ['1970-01-01 02:00:00+02:00', 'date-time', 0],
    ['01.01.1970 00:01:00', 'date-time', 60],
    ['1/2/1970 1:00:00 AM', 'date-time', 86400 + 3600],
  ] as const)('%s', (text, form, seconds) => {
    const read = readClock(text);
    expect(read?.form).toBe(form);
    expect(read!.days * 86_400 + read!.seconds).toBeCloseTo(seconds, 9);
  });

  it.each(['25', '12:75:00', '12:00:75', '13:00:00 PM', '2026-13-01', '1:2:3:4:5', 'a12:00:00', '12:3', ''])('"%s" is none', (text) =>
    expect(readClock(text)).toBeNull(),
  );
});

describe('the time axis', () => {
  it('refuses disorder, early or late, and a log written backwards', () => {
    const late = even(60);
    [late[40], late[41]] = [late[41]!, late[40]!];
    expect(() => read(late)).toThrow(/E_TIME_ORDER/);
    const early = even(60);
    [early[8], early[9]] = [early[9]!, early[8]!];
    expect(() => read(early)).toThrow(/E_TIME_ORDER/);
    expect(() => read(even(60).reverse())).toThrow(/E_TIME_ORDER/);
  });

  it('says where time falls, in the words of the style guide', () => {
    const times = even(30);
    times[20] = '0.5';
    expect(() => read(times)).toThrow('a.csv row 21: time falls from 0.76 s to 0.5 s.');
  });

  it('takes a rollover only on an exact match', () => {
    const counter = (range: number) => even(60, 0.04, 64).map((time) => (Number(time) % range).toFixed(3));
    expect(codes(read(counter(65.536)))).toEqual(['W_ROLLOVER']);
    // 65.0 s is no counter's range: the clock merely started again.
    expect(codes(read(counter(65)))).toEqual(['W_RESTART']);
  });

  it('gives time from the first row, whatever the clock began with', () => {
    expect([...read(even(3, 0.5, 1234.5)).timeS]).toEqual([0, 0.5, 1]);
  });

  it('parts the log at gaps by the stated length', () => {
    const times = [...even(30), ...even(30, 0.04, 1.9)];
    expect(read(times).parts).toHaveLength(1);
    expect(read(times, 'Time (s)', { maxGapS: 0.5 }).parts).toEqual([
      { from: 0, to: 30 },
      { from: 30, to: 60 },
    ]);
    expect(codes(read(times, 'Time (s)', { maxGapS: 0.5 }))).toEqual(['W_GAP']);
  });

  it('never lets time fall within a part', () => {
    for (const log of [read([...even(30), ...even(30)]), read(even(60).map((time) => (Number(time) > 1 ? Number(time) + 7 : time)))]) {
      for (const { from, to } of log.parts)
        for (let i = from + 1; i < to; i++) expect(log.timeS[i]).toBeGreaterThanOrEqual(log.timeS[i - 1]!);
    }
  });

  it('lets time go on after a restart and a clock set back, so that no time stands for two parts', () => {
    const twice = read([...even(30), ...even(30), ...even(30)]);
    expect(twice.parts.map(({ from }) => from)).toEqual([0, 30, 60]);
    expect([30, 31, 60, 61].map((row) => twice.timeS[row]!)).toEqual(
      [1000, 1000.04, 2000, 2000.04].map((timeS) => expect.closeTo(timeS, 9)),
    );
    expect(twice.findings[0]!.message).toContain('restarted 2 times');
    expect(twice.findings[0]!.message).toContain('whole thousands of seconds later');
    const clock = (hour: number, from = 0) => Array.from({ length: 20 }, (_, i) => `${hour}:30:${String(from + i).padStart(2, '0')}`);
    const back = read([...clock(14), ...clock(13, 20)], 'Time');
    expect(codes(back)).toEqual(['W_CLOCK_JUMP']);
    expect(back.timeS[20]).toBe(20 - 3600 + 4000);
    const forward = read([...clock(13), ...clock(14, 20)], 'Time');
    expect(forward.timeS[20]).toBe(20 + 3600);
    expect(forward.findings[0]!.message).not.toContain('added');
    for (const { timeS } of [twice, back]) for (let i = 1; i < timeS.length; i++) expect(timeS[i]).toBeGreaterThan(timeS[i - 1]!);
  });

  it('takes a stamp that no clock can show for none', () => {
    for (const stamp of ['1.7e308', '-1.7e308', '3e19']) {
      const log = read([...even(10), stamp, ...even(10, 0.04, 0.4)]);
      expect(codes(log)).toEqual(['W_TIME_MISSING']);
      expect(log.rows).toBe(20);
    }
  });

  it('says how coarse whole seconds at ten rows a second are', () => {
    const log = read(
      Array.from({ length: 100 }, (_, i) => `12:00:${String(Math.floor(i / 10)).padStart(2, '0')}`),
      'Time',
    );
    expect(codes(log)).toEqual(['W_TIME_REPEATED', 'W_TIME_QUANTISED']);
    expect(log.timeTickS).toBe(1);
  });

  it('reads a time in nanoseconds since 1970', () => {
    expect(
      read(
        Array.from({ length: 20 }, (_, i) => `1777746000${String(i * 40_000_000).padStart(9, '0')}`),
        'Time',
      ).timeS[1],
    ).toBeCloseTo(0.04, 6);
  });

  it('rules out milliseconds where the engine could not turn so fast', () => {
    const log = readLog(
      utf8(`Time,Engine speed (rpm)\n${Array.from({ length: 40 }, (_, i) => `${i},${2000 + 300 * (i % 7)}`).join('\n')}\n`),
      { path: 'a.csv' },
    );
    expect(log.timeS[1]).toBe(1);
    expect(log.channels[0]).toMatchObject({ standing: 'guessed' });
  });

  it('keeps the thousandths beside a date', () => {
    const log = read(
      Array.from({ length: 50 }, (_, i) => `2026-05-02T23:59:${(59 + 0.001 * i).toFixed(3)}Z`),
      'Time',
    );
    for (let i = 0; i < 50; i++) expect(log.timeS[i]).toBeCloseTo(0.001 * i, 10);
  });

  it('reads days as spreadsheets count them', () => {
    const log = read(
      Array.from({ length: 50 }, (_, i) => (46_144 + (0.04 * i) / 86_400).toFixed(10)),
      'Time',
    );
    expect(log.timeS[49]).toBeCloseTo(1.96, 4);
  });

  it('takes a stated unit', () => {
    expect(
      read(
        Array.from({ length: 30 }, (_, i) => i * 2),
        'Time',
        { timeUnit: 'ms' },
      ).timeS[1],
    ).toBe(0.002);
    expect(
      read(
        Array.from({ length: 30 }, (_, i) => i * 2),
        'Time',
        { channels: new Map([['Time', 'time ms']]) },
      ).timeS[1],
    ).toBe(0.002);
  });
});
