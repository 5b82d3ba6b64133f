import { describe, expect, it } from 'vitest';
import { type Drive, type Logger, sampleLog, seededRandom } from '../../packages/simulation/src/index.js';

/** Channels that are plain functions of time, 100 s long. */
function made(functions: Record<string, (timeS: number) => number>): Drive {
  const samples = 20_001;
  const channels = new Map(
    Object.entries(functions).map(([name, f]) => [name, Float64Array.from({ length: samples }, (_, i) => f(i * 0.005))]),
  );
  return { stepS: 0.005, samples, channels, marks: [] };
}
const dialect: Logger['dialect'] = { delimiter: ',', decimal: '.', lineEnd: '\n', timeHeader: 'Time (s)', timeDecimals: 4 };
const numbers = (text: string): number[][] =>
  text
    .trimEnd()
    .split('\n')
    .slice(1)
    .map((line) => line.split(',').map(Number));
const ramp = made({ x: (t) => 10 * t });

describe('sampleLog', () => {
  it('without errors writes the truth', () => {
    const rows = numbers(sampleLog(ramp, { rateHz: 20, channels: [{ header: 'x', source: 'x', decimals: 6 }], dialect }, seededRandom(1)));
    expect(rows).toHaveLength(2001);
    for (const [t, x] of rows) expect(x).toBeCloseTo(10 * t!, 5);
  });

  it('noise has the standard deviation asked for, steps the size asked for, and cutting off lies half a step below rounding', () => {
    const read = (channel: object): number[] =>
      numbers(
        sampleLog(ramp, { rateHz: 20, channels: [{ header: 'x', source: 'x', decimals: 6, ...channel }], dialect }, seededRandom(5)),
      ).map(([t, x]) => x! - 10 * t!);
    const mean = (xs: number[]): number => xs.reduce((a, b) => a + b, 0) / xs.length;
    const spread = (xs: number[]): number => Math.sqrt(mean(xs.map((x) => (x - mean(xs)) ** 2)));
    expect(spread(read({ noise: 4 })) / 4).toBeCloseTo(1, 1);
    // A step q spread evenly has a standard deviation of q/√12.
    expect(spread(read({ step: 7, noise: 10 }))).toBeCloseTo(Math.sqrt(100 + 49 / 12), 0);
    expect(mean(read({ step: 7.3 }))).toBeCloseTo(0, 0);
    expect(mean(read({ step: 7.3, rounding: 'down' }))).toBeCloseTo(-3.65, 0);
    const steps = numbers(
      sampleLog(ramp, { rateHz: 20, channels: [{ header: 'x', source: 'x', step: 25, decimals: 0 }], dialect }, seededRandom(5)),
    );
    expect(steps.every(([, x]) => x! % 25 === 0)).toBe(true);
  });

  it('an error that wanders has its standard deviation, and forgets itself at the pace asked for', () => {
    // First-order Gauss–Markov: the correlation over a time t is exp(−t/τ); 100 s hold 50 times 2 s, so both are known to about a tenth.
    const channel = { header: 'x', source: 'x', decimals: 6, wander: { spread: 3, timeS: 2 } };
    let squares = 0;
    let products = 0;
    let count = 0;
    for (let seed = 1; seed <= 20; seed++) {
      const errors = numbers(sampleLog(ramp, { rateHz: 20, channels: [channel], dialect }, seededRandom(seed))).map(
        ([t, x]) => x! - 10 * t!,
      );
      for (let i = 20; i < errors.length; i++) {
        squares += errors[i]! ** 2;
        products += errors[i]! * errors[i - 20]!;
        count++;
      }
    }
    expect(Math.abs(Math.sqrt(squares / count) / 3 - 1)).toBeLessThan(0.07);
    expect(Math.abs(products / squares - Math.exp(-0.5))).toBeLessThan(0.06);
  });

  it('a first-order lag trails a ramp by its time constant', () => {
    // Steady state of τ y' + y = s t is s (t − τ).
    const rows = numbers(
      sampleLog(ramp, { rateHz: 20, channels: [{ header: 'x', source: 'x', lagS: 0.4, decimals: 6 }], dialect }, seededRandom(1)),
    );
    const [t, x] = rows[1000]!;
    expect(x).toBeCloseTo(10 * (t! - 0.4), 4);
  });

  it('a sensor that counts pulses is silent at a stand', () => {
    const still = made({ n: () => 0 });
    const rows = (silentAtZero: boolean): number[][] =>
      numbers(
        sampleLog(
          still,
          { rateHz: 20, channels: [{ header: 'n', source: 'n', noise: 4, silentAtZero, decimals: 0 }], dialect },
          seededRandom(2),
        ),
      );
    expect(rows(true).every(([, n]) => n === 0)).toBe(true);
    expect(rows(false).every(([, n]) => n === 0)).toBe(false);
  });

  it('jitter moves the reading with its stamp, a stamp error moves the stamp alone, a stamp step is a step', () => {
    const logger: Logger = { rateHz: 20, channels: [{ header: 'x', source: 'x', decimals: 6 }], dialect };
    const jittered = numbers(sampleLog(ramp, { ...logger, jitterS: 0.01 }, seededRandom(3)));
    const offGrid = jittered.map(([t], row) => t! - row / 20);
    expect(Math.max(...offGrid)).toBeGreaterThan(0.009);
    expect(Math.max(...offGrid.map(Math.abs))).toBeLessThan(0.0101);
    for (const [t, x] of jittered) expect(Math.abs(x! - 10 * t!)).toBeLessThan(0.001);
    const wrong = numbers(sampleLog(ramp, { ...logger, stampErrorS: 0.01 }, seededRandom(3)));
    expect(Math.max(...wrong.map(([t, x]) => Math.abs(x! - 10 * t!)))).toBeGreaterThan(0.09);
    const ticks = numbers(sampleLog(ramp, { ...logger, jitterS: 0.01, stampStepS: 0.01, stampRounding: 'down' }, seededRandom(3)));
    for (const [t] of ticks) expect(Math.abs(t! * 100 - Math.round(t! * 100))).toBeLessThan(1e-6);
    for (let i = 1; i < ticks.length; i++) expect(ticks[i]![0]!).toBeGreaterThanOrEqual(ticks[i - 1]![0]!);
    expect(() => sampleLog(ramp, { ...logger, jitterS: 0.03 }, seededRandom(3))).toThrow(/swap rows/);
  });

  it('a polled logger reads one channel a row and holds or leaves out the others', () => {
    const channels = ['a', 'b', 'c'].map((name) => ({ header: name, source: 'x', decimals: 4 }));
    const held = numbers(sampleLog(ramp, { rateHz: 20, polled: 'held', channels, dialect }, seededRandom(1)));
    for (let i = 1; i < held.length; i++) {
      const changed = [1, 2, 3].filter((c) => held[i]![c] !== held[i - 1]![c]);
      expect(changed).toEqual([1 + (i % 3)]);
    }
    const lines = sampleLog(ramp, { rateHz: 20, polled: 'blank', channels, dialect }, seededRandom(1)).split('\n');
    expect(lines[3]).toBe('0.1000,,,1.0000');
    expect(lines[4]).toBe('0.1500,1.5000,,');
  });

  it('a slow channel holds its last reading', () => {
    const rows = numbers(
      sampleLog(ramp, { rateHz: 20, channels: [{ header: 'x', source: 'x', rateHz: 2, decimals: 4 }], dialect }, seededRandom(1)),
    );
    const changes = rows.filter(([, x], i) => i > 0 && x !== rows[i - 1]![1]).length;
    expect(changes).toBe(200);
  });

  it('dropouts lose whole rows, about as many as asked for', () => {
    const logger: Logger = {
      rateHz: 20,
      dropouts: { share: 0.005, rows: 10 },
      channels: [{ header: 'x', source: 'x', decimals: 4 }],
      dialect,
    };
    const rows = numbers(sampleLog(ramp, logger, seededRandom(9)));
    expect((2001 - rows.length) % 10).toBe(0);
    expect(2001 - rows.length).toBeGreaterThan(30);
    expect(2001 - rows.length).toBeLessThan(200);
  });

  it('writes the dialect asked for, the same bytes for the same seed', () => {
    const logger: Logger = {
      rateHz: 20,
      channels: [{ header: 'Luft', unit: '°C', source: 'x', written: (x) => x - 0.04, noise: 0.1, decimals: 1 }],
      dialect: {
        delimiter: ';',
        decimal: ',',
        lineEnd: '\r\n',
        preamble: ['made up'],
        timeHeader: 'Zeit',
        timeUnit: 'ms',
        unitsRow: true,
        timeDecimals: 0,
        timeScale: 1000,
        timeOriginS: 5,
      },
    };
    const text = sampleLog(ramp, logger, seededRandom(1));
    expect(text.split('\r\n').slice(0, 3)).toEqual(['made up', 'Zeit;Luft', 'ms;°C']);
    expect(text.split('\r\n')[3]).toMatch(/^5000;0,\d$/);
    expect(text).not.toMatch(/-0,0(\r|$)/m);
    expect(sampleLog(ramp, logger, seededRandom(1))).toBe(text);
    expect(sampleLog(ramp, logger, seededRandom(2))).not.toBe(text);
  });

  it('names the channel that is not there', () => {
    expect(() => sampleLog(ramp, { rateHz: 20, channels: [{ header: 'y', source: 'y', decimals: 1 }], dialect }, seededRandom(1))).toThrow(
      /no channel y: x/,
    );
  });
});
