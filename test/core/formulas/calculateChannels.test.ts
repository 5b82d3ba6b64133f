import {
  type CalculateOptions,
  type Channel,
  calculateChannels,
  compileFormulas,
  type FormulaParser,
  loadFormulaParser,
  PullproofError,
  readLog,
} from '@pullproof/core';
import { beforeAll, describe, expect, it } from 'vitest';

let parser: FormulaParser;
beforeAll(async () => {
  parser = await loadFormulaParser();
});

function calculated(csv: string, formulas: Record<string, string>, options?: CalculateOptions): ReturnType<typeof calculateChannels> {
  const log = readLog(new TextEncoder().encode(csv), { path: 'pull.csv' });
  return calculateChannels(log, compileFormulas(formulas, parser), options);
}

const freshValues = (channel: Channel | null): number[] => Array.from(channel!.values).filter((_, row) => channel!.fresh[row] === 1);

/** A log whose channels are functions of time; null is a blank cell. */
function made(header: string, rows: number, stepS: number, cells: (timeS: number, row: number) => readonly (number | null)[]): string {
  const lines = Array.from({ length: rows }, (_, row) =>
    [(row * stepS).toFixed(3), ...cells(row * stepS, row).map((value) => value ?? '')].join(','),
  );
  return `Time (s),${header}\n${lines.join('\n')}\n`;
}

describe('samples', () => {
  it('are those of the slowest input; the quicker one is interpolated straight to them', () => {
    // Both rise evenly, so a straight line between neighbours is exact: 100 kPa + 10 kPa/s over 300 K + 2 K/s.
    const csv = made('MAP (kPa abs),IAT (K)', 61, 0.05, (t, row) => [
      row % 4 === 1 ? null : 100 + 10 * t,
      row % 4 === 1 ? 300 + 2 * t : null,
    ]);
    const [density] = calculated(csv, { density: 'manifold_pressure / intake_temperature' });
    expect(density!.channel!.unit).toBe('kg/(m s² K)');
    const rows = Array.from(density!.channel!.fresh.keys()).filter((row) => density!.channel!.fresh[row] === 1);
    expect(rows).toEqual(Array.from({ length: 15 }, (_, i) => 4 * i + 1));
    for (const row of rows) {
      const t = row * 0.05;
      expect(density!.channel!.values[row]! / ((100e3 + 10e3 * t) / (300 + 2 * t))).toBeCloseTo(1, 12);
    }
    expect(density!.withoutValue).toBe(0);
  });

  it('of the weather do not thin out what stands beside it', () => {
    const csv = made('MAP (kPa abs),Baro (kPa)', 41, 0.05, (_, row) => [150, row % 20 === 0 ? 100 : null]);
    const [ratio] = calculated(csv, { ratio: 'manifold_pressure / barometric_pressure' });
    expect(freshValues(ratio!.channel)).toEqual(Array.from({ length: 41 }, () => 1.5));
  });

  it('lie never inside a gap of an input', () => {
    // Throttle is logged on every row, pressure pauses from 1 s to 2 s.
    const csv = made('TPS (%),MAP (kPa abs)', 61, 0.05, (t) => [50, t > 1.001 && t < 1.999 ? null : 150]);
    const [product] = calculated(csv, { product: 'throttle * manifold_pressure', boosted: 'max(product, 0 kPa)' });
    const values = product!.channel!.values;
    for (let row = 0; row < 61; row++) expect(values[row]).toBe(row > 20 && row < 40 ? Number.NaN : 75000);
  });

  it('of a gear count only between two equal readings', () => {
    const csv = made('RPM,Gear', 21, 0.05, (t, row) => [3000 + 100 * t, row % 2 === 1 ? null : row < 10 ? 2 : 3]);
    const [product] = calculated(csv, { product: 'engine_speed * gear', held: 'max(gear, 0)' });
    expect(product!.channel!.fresh.filter((flag) => flag === 1)).toHaveLength(11);
    // Sampled where the gear was read: interpolation of the gear itself is never needed there.
    expect(product!.withoutValue).toBe(0);
  });
});

describe('values', () => {
  it('of a rate: the slope of a parabola is exact, and no window reaches over a gap', () => {
    const csv = made('RPM', 81, 0.05, (t) => (t > 2.001 && t < 2.999 ? [null] : [2000 + 300 * t + 50 * t * t]));
    const [rate, smooth] = calculated(csv, { build: 'rate(engine_speed, 0.5 s)', level: 'smooth(engine_speed, 0.5 s)' });
    expect(rate!.formula.unit).toBe('rpm/s');
    for (const t of [0.5, 1, 2, 3, 3.5]) {
      const row = Math.round(t / 0.05);
      expect(rate!.channel!.values[row]).toBeCloseTo(300 + 100 * t, 6);
      expect(smooth!.channel!.values[row]).toBeCloseTo(2000 + 300 * t + 50 * t * t, 6);
    }
    expect(rate!.channel!.values[50]).toBeNaN();
  });

  it('that are not finite are missing, also further on', () => {
    const csv = made('TPS (%),RPM', 21, 0.05, (_, row) => [row < 5 ? 0 : 50, 3000 + row]);
    const [quotient, back] = calculated(csv, { quotient: '1 / throttle', back: '1 / quotient', angle: 'atan(1 / throttle)' });
    expect(quotient!.withoutValue).toBe(5);
    expect(back!.withoutValue).toBe(5);
    expect(freshValues(back!.channel).slice(5)).toEqual(Array.from({ length: 16 }, () => 0.5));
  });

  it('of an injector: duty from pulse width and engine speed', () => {
    // Source: definition for a four-stroke, one injection every two turns: duty = width · rpm / 120 s. 10 ms at 6,000 rpm is 50 %.
    const csv = made('RPM,Injector pulse width (ms)', 11, 0.05, () => [6000, 10]);
    const [duty] = calculated(csv, { duty: 'injector_pulse_width * engine_speed / 720 deg' });
    expect(duty!.formula.unit).toBe('1');
    for (const value of freshValues(duty!.channel)) expect(value).toBeCloseTo(0.5, 12);
  });

  it('use what was entered where the log has no channel, and the same as a constant alone', () => {
    const csv = made('MAP (kPa abs),RPM', 11, 0.05, () => [150, 3000]);
    const [ratio, station, sum] = calculated(
      csv,
      { ratio: 'manifold_pressure / barometric_pressure', station: 'barometric_pressure', sum: 'station + manifold_pressure' },
      { entered: { 'barometric-pressure': 100e3 } },
    );
    expect(freshValues(ratio!.channel)[0]).toBe(1.5);
    expect(Array.from(station!.channel!.values)).toEqual(Array.from({ length: 11 }, () => 100e3));
    expect(freshValues(sum!.channel)[3]).toBe(250e3);
  });

  it('of a gauge pressure are absolute by the pressure of the weather, or refused without it', () => {
    const csv = made('Boost (kPa gauge),RPM', 11, 0.05, () => [50, 3000]);
    const formulas = { ratio: 'manifold_pressure / (100 kPa)' };
    expect(freshValues(calculated(csv, formulas, { stationPressurePa: 100e3 })[0]!.channel)[0]).toBe(1.5);
    expect(() => calculated(csv, formulas)).toThrow(expect.objectContaining({ code: 'E_FORMULA_GAUGE' }));
  });
});

describe('what is not there', () => {
  it('is named, also where a formula above lacks it', () => {
    const csv = made('RPM', 11, 0.05, () => [3000]);
    const [a, b, c] = calculated(csv, { a: 'lambda * 2', b: 'a + 1', c: 'engine_speed * 2' });
    expect(a).toMatchObject({ channel: null, missing: ['lambda'] });
    expect(b).toMatchObject({ channel: null, missing: ['a'] });
    expect(freshValues(c!.channel)[0]).toBe(6000);
  });

  it('a result without any value is no channel', () => {
    const csv = made('TPS (%),RPM', 11, 0.05, () => [0, 3000]);
    const [quotient] = calculated(csv, { quotient: '1 / throttle' });
    expect(quotient).toMatchObject({ channel: null, missing: [], withoutValue: 11 });
  });
});

it('too much work is refused before it is begun', () => {
  const log = readLog(new TextEncoder().encode(made('RPM', 20_000, 0.01, (t) => [3000 + t])), { path: 'long.csv' });
  const formulas = compileFormulas({ slow: 'rate(engine_speed, 10 s)' }, parser);
  const start = performance.now();
  expect(() => calculateChannels(log, formulas)).toThrow(PullproofError);
  expect(() => calculateChannels(log, formulas)).toThrow(/too much work/);
  expect(performance.now() - start).toBeLessThan(500);
});
