import { calculateChannels, checkLog, compileFormulas, evenEdges, loadFormulaParser, parseTrial, readLog } from '@pullproof/core';
import { describe, expect, it } from 'vitest';

// What the fuzzing of bench/fuzz.js found, one case each; the cause stands beside it.

const row = (timeS: number, rpm: number, kpa: number): string => `${timeS.toFixed(2)},${rpm},${kpa}`;

describe('found by fuzzing', () => {
  it.each([
    '{ a: 1 }: 2',
    '? [a, b]\n: 2',
    'setups: [{ {}: 1 }]',
    '"x": { ? { y: 1 } : 2 }',
    'title: &a [1]\n*a : 2',
    '!!binary aGFsbG8=: 2',
    '? !!binary aGFsbG8=\n: 2',
  ])('a group or list as a key was read as text, with a warning of the library on standard error: %s', (text) => {
    expect(() => parseTrial(`trial: 1\n${text}\n`, 'trial.yaml')).toThrow(
      expect.objectContaining({
        code: 'E_TRIAL_SYNTAX',
        what: 'A group or a list stands where a key should.',
        where: { path: 'trial.yaml', line: 2 },
      }),
    );
  });

  // Each key was compared with all before it, and the place of each mistake looked for among all of them.
  it.each([
    ['unknown keys', Array.from({ length: 10_000 }, (_, i) => `k${i}: 1`).join('\n'), 'E_TRIAL_UNKNOWN_KEY'],
    ['setups that lack everything', `setups: [${'{}, '.repeat(10_000)}]`, 'E_TRIAL_MISSING'],
    ['lines to fill in', `setups: [${'{ name: FILL IN }, '.repeat(10_000)}]`, 'E_TRIAL_FILL_IN'],
  ])('hung on ten thousand %s', (_, text, code) => {
    const start = performance.now();
    expect(() => parseTrial(`trial: 1\n${text}\n`, 'trial.yaml')).toThrow(expect.objectContaining({ code }));
    expect(performance.now() - start).toBeLessThan(2000);
  });

  it.each([
    ['car:\n  name: a\n  driver: 80 kg\n  name: b', 5],
    ['car: { name: a, name: b }', 2],
    ['7: a\n"7": b', 3],
    ['title: &t a\na: b\n*t : c', 4],
  ])('a key that stands twice is still refused: %s', (text, line) => {
    const what = expect.stringMatching(/^The key "\w+" stands twice\.$/);
    expect(() => parseTrial(`trial: 1\n${text}\n`, 'trial.yaml')).toThrow(
      expect.objectContaining({ code: 'E_TRIAL_SYNTAX', what, where: { path: 'trial.yaml', line } }),
    );
  });

  it.each([
    ['hung while the load map was divided into 22 million cells', -451220913.36],
    ['stopped on the length of that list', 1e300],
    ['the same, edges no longer told apart', -1e308],
  ])('one broken pressure in a log: %s', (_, broken) => {
    const rows = Array.from({ length: 60 }, (_unused, i) => row(i * 0.05, 3000 + 10 * i, i === 30 ? broken : 150));
    const text = `Time (s),Engine speed (rpm),Manifold pressure (kPa abs)\n${rows.join('\n')}\n`;
    const start = performance.now();
    const { coverage } = checkLog(readLog(new TextEncoder().encode(text), { path: 'log.csv' }));
    expect(performance.now() - start).toBeLessThan(2000);
    expect(coverage!.loadEdges.length).toBeLessThanOrEqual(101);
    expect(coverage!.cells.every(({ fromLoad }) => fromLoad === 140e3)).toBe(true);
  });

  it.each([-4.1e22, -6_720_018_680_533_301_000])('hung where half a second added to a broken time stamp changed nothing: %d', (broken) => {
    const rows = Array.from({ length: 60 }, (_unused, i) => `${i === 30 ? broken : (i * 0.05).toFixed(2)},${3000 + 10 * i},150`);
    const text = `Time (s),Engine speed (rpm),Manifold pressure (kPa abs)\n${rows.join('\n')}\n`;
    const start = performance.now();
    checkLog(readLog(new TextEncoder().encode(text), { path: 'log.csv' }));
    expect(performance.now() - start).toBeLessThan(2000);
  });

  it.each([
    ['one time stamp a thousand million seconds on', [0, 0.05, 1e9]],
    ['every row a million seconds after the one before', Array.from({ length: 60 }, (_, i) => 1e6 * i)],
    ['half an hour, a month, half an hour', Array.from({ length: 7200 }, (_, i) => 0.5 * i + (i < 3600 ? 0 : 2.6e6))],
  ])('hung on half seconds in which nothing was read: %s', (_, times) => {
    const text = `Time (s),Engine speed (rpm),Road speed (km/h),Throttle (%)\n${times.map((time, i) => `${time},${850 + (i % 3)},0,${i % 2}`).join('\n')}\n`;
    const start = performance.now();
    const { stretches } = checkLog(readLog(new TextEncoder().encode(text), { path: 'log.csv' }));
    expect(performance.now() - start).toBeLessThan(2000);
    // No stretch reaches across what was not read.
    for (const { startS, endS } of stretches) expect(endS - startS).toBeLessThan(1801);
  });

  it('edges cover what was read, and only the middle where that needs too many cells', () => {
    expect(evenEdges(Float64Array.of(0.05, 0.35), 0.1).map((edge) => Number(edge.toFixed(6)))).toEqual([0, 0.1, 0.2, 0.3, 0.4]);
    const far = evenEdges(Float64Array.of(...Array.from({ length: 9 }, (_, i) => 1000 + i), 1e9), 1);
    expect([far[0], far.length]).toEqual([1000, 101]);
    expect(evenEdges(Float64Array.of(1e300, 1e300), 1)).toEqual([]);
    expect(evenEdges(Float64Array.of(Number.NaN), 1)).toEqual([]);
  });

  it('the slope of a quantity near the largest number was infinite, not missing', async () => {
    const rows = Array.from({ length: 60 }, (_, i) => row(i * 0.05, 3000 + 10 * i, 150 + (i % 7)));
    const text = `Time (s),Engine speed (rpm),Manifold pressure (kPa abs)\n${rows.join('\n')}\n`;
    const log = readLog(new TextEncoder().encode(text), { path: 'log.csv' });
    const formulas = compileFormulas({ far: 'manifold_pressure * 1e300 * 1000', slope: 'rate(far, 400 ms)' }, await loadFormulaParser());
    const [far, slope] = calculateChannels(log, formulas);
    expect(far!.channel!.values.some((value) => Math.abs(value) > 1e307)).toBe(true);
    expect(slope!.channel?.values.every(Number.isNaN) ?? true).toBe(true);
  });

  // Means, sums and squares of such readings were infinite, and the finite check of the result stopped everything.
  it.each([
    ['Manifold pressure (kPa abs)', '1e300', 1],
    ['Lambda', '-1.7e308', 1],
    ['Throttle (%)', '1e12', 1],
    ['Throttle (%)', '9.9e10', 0],
    ['Coolant temperature (°C)', '-277105317', 1],
    ['Coolant temperature (°C)', '-273.15', 1],
    ['Coolant temperature (°F)', '-457', 0],
    ['Coolant temperature (K)', '4.9e-324', 1],
    ['Spark advance (deg)', '-1e15', 1],
    ['Counter', '1e300', 0],
  ])('a number that the quantity cannot have is no reading: %s %s', (name, broken, missing) => {
    const rows = Array.from({ length: 60 }, (_, i) => `${(i * 0.05).toFixed(2)},${3000 + 10 * i},${i === 30 ? broken : 90 + (i % 7)}`);
    const log = readLog(new TextEncoder().encode(`Time (s),Engine speed (rpm),${name}\n${rows.join('\n')}\n`), { path: 'log.csv' });
    expect(log.channels[2]!.missing).toBe(missing);
    expect(log.findings.filter(({ code }) => code === 'W_OUT_OF_RANGE')).toMatchObject(
      missing === 0 ? [] : [{ where: { channel: name, fromTimeS: 1.5, toTimeS: 1.5 }, count: 1 }],
    );
  });
});
