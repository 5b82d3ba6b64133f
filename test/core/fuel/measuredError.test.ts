import { inferSchema, initParser } from 'udsv';
import { describe, expect, test } from 'vitest';
import {
  type ErrorReadings,
  evenEdges,
  loadCoverage,
  measuredErrorCsv,
  measuredErrorTable,
  type TableAxis,
} from '../../../packages/core/src/fuel/index.js';
import { randomStream } from '../../../packages/core/src/maths/index.js';

const n = 80;
const timeS = Float64Array.from({ length: n }, (_, i) => i / 20);
const engineSpeedRpm = timeS.map((t) => 3000 + 700 * t);
const manifoldPressurePa = timeS.map((t) => 140000 + 10000 * t);
const rows: TableAxis = {
  quantity: 'manifold pressure',
  unit: 'kPa',
  unitSi: 1000,
  values: manifoldPressurePa,
  edges: evenEdges(manifoldPressurePa, 20000),
};
const columns: TableAxis = {
  quantity: 'engine speed',
  unit: 'rpm',
  unitSi: 1,
  values: engineSpeedRpm,
  edges: evenEdges(engineSpeedRpm, 500),
};

function readings(changes: Partial<ErrorReadings> = {}): ErrorReadings {
  return {
    timeS,
    pull: new Int32Array(n),
    steady: new Uint8Array(n).fill(1),
    lambda: timeS.map(() => 12.4 / 14.7),
    commandedLambda: timeS.map(() => 11.8 / 14.7),
    ...changes,
  };
}

describe('measuredErrorTable', () => {
  test('CK-6.10: measured 12.4 for 11.8 wanted asks for 5.1 % more fuel', () => {
    // Source: FORMULAS.md CK-6.10: 12.4/11.8 = 1.050847.
    const table = measuredErrorTable(readings(), rows, columns);
    expect(table.title).toBe('measured error');
    for (const cell of table.cells) expect(cell.factor).toBeCloseTo(1.050847, 6);
    expect(table.cells.reduce((sum, cell) => sum + cell.count, 0) + table.leftOut.tooFew).toBe(n);
  });

  test('active trims are part of the error', () => {
    const trimmed = measuredErrorTable(
      readings({
        lambda: timeS.map(() => 1),
        commandedLambda: timeS.map(() => 1),
        shortTermTrim: timeS.map(() => 0.04),
        longTermTrim: timeS.map(() => -0.01),
      }),
      rows,
      columns,
    );
    expect(trimmed.trimsCounted).toBe(true);
    for (const cell of trimmed.cells) expect(cell.factor).toBeCloseTo(1.04 * 0.99, 12);
  });

  test('cells that nothing fell into have no value, and what was left out is counted', () => {
    const commandedLambda = timeS.map((_, i) => (i < 10 ? Number.NaN : 0.8));
    const steady = Uint8Array.from({ length: n }, (_, i) => (i >= 70 ? 0 : 1));
    const table = measuredErrorTable(readings({ commandedLambda, steady }), rows, columns);
    expect(table.leftOut.noCommand).toBe(10);
    expect(table.cells.length).toBeLessThan((rows.edges.length - 1) * (columns.edges.length - 1));
    expect(table.cells.every((cell) => cell.count >= 3)).toBe(true);
    expect(table.cells.at(-1)!.lastTimeS).toBeLessThan(3.5);
  });

  test('each cell says what stood beside it', () => {
    const table = measuredErrorTable(
      readings({
        chargeTemperatureK: timeS.map(() => 330),
        knockRetardDeg: timeS.map((_, i) => (i === 40 ? -3 : 0)),
        fuelPressurePa: timeS.map((t) => 3e5 - 1000 * t),
        injectorDuty: timeS.map((t) => 0.5 + 0.05 * t),
        delayS: timeS.map(() => 0.12),
      }),
      rows,
      columns,
    );
    const cell = table.cells.find((one) => one.firstTimeS <= 2 && one.lastTimeS >= 2)!;
    expect(cell).toMatchObject({ chargeTemperatureK: 330, largestKnockRetardDeg: 3, sparkAdvanceDeg: null });
    expect(cell.delayS).toBeCloseTo(0.12, 12);
    expect(cell.largestInjectorDuty).toBeCloseTo(0.5 + 0.05 * cell.lastTimeS, 12);
  });

  test('the band widens with scatter and never falls below the sensor’s own', () => {
    const random = randomStream(3);
    const noisy = measuredErrorTable(readings({ lambda: timeS.map(() => 0.84 + 0.02 * random.normal()) }), rows, columns);
    const quiet = measuredErrorTable(readings(), rows, columns);
    for (const cell of quiet.cells) expect(cell.high - cell.factor).toBeCloseTo(1.959964 * 0.01 * cell.factor, 6);
    const halfOf = (cells: typeof noisy.cells): number => cells[2]!.high - cells[2]!.factor;
    expect(halfOf(noisy.cells)).toBeGreaterThan(halfOf(quiet.cells));
  });

  test('other lengths are refused', () => {
    expect(() => measuredErrorTable(readings({ lambda: new Float64Array(3) }), rows, columns)).toThrow('E_LENGTHS');
  });
});

/** All cells as text, header included, by a reader that is not ours. */
function readBack(csv: string): string[][] {
  const schema = inferSchema(csv, { header: () => [] });
  return initParser(schema).stringArrs(csv);
}

describe('measuredErrorCsv', () => {
  const table = measuredErrorTable(readings({ sparkAdvanceDeg: timeS.map(() => -2.5) }), rows, columns);
  const csv = measuredErrorCsv(table, {
    logs: [{ path: 'logs/70mm, a.csv', sha256: 'ab12' }],
    calibration: '=HYPERLINK("x")',
    gaugeStoich: 14.7,
  });

  test('another reader gets rectangular rows with numbers and provenance intact', () => {
    const [header, ...body] = readBack(csv);
    expect(body).toHaveLength(table.cells.length);
    for (const row of body) expect(row).toHaveLength(header!.length);
    const at = (name: string): string => body[0]![header!.indexOf(name)]!;
    expect(Number(at('measured error (factor)'))).toBeCloseTo(1.0508, 4);
    expect(Number(at('gauge would show'))).toBeCloseTo(12.4, 3);
    expect(at('spark advance (deg)')).toBe('-2.5');
    expect(at('log')).toBe('logs/70mm, a.csv');
    expect(at('log sha256')).toBe('ab12');
    expect(at('table')).toBe('measured error');
    expect(at('manifold pressure from (kPa)')).toBe('140');
  });

  test.each(['=1+1', '+1', '-1', '@x', '\t=1', ' =1', ' spaced'])('text %j cannot run in a spreadsheet', (calibration) => {
    const out = measuredErrorCsv(table, { logs: [], calibration, gaugeStoich: 14.7 });
    const row = readBack(out)[1]!;
    expect(row).toContain(`'${calibration}`);
  });
});

test('loadCoverage counts time and separate visits', () => {
  const t = Float64Array.from({ length: 100 }, (_, i) => i / 10);
  const rpm = t.map((x) => (x < 3 ? 1500 : x < 6 ? 2500 : x < 9 ? 1500 : Number.NaN));
  const coverage = loadCoverage(
    t,
    rpm,
    t.map(() => 40),
    { rpmEdges: [1000, 2000, 3000], loadEdges: [0, 50, 100] },
  );
  expect(coverage.cells.map((cell) => [cell.fromRpm, cell.visits])).toEqual([
    [1000, 2],
    [2000, 1],
  ]);
  expect(coverage.cells[0]!.seconds).toBeCloseTo(6, 9);
  expect(coverage.share).toBe(0.5);
  expect(() => loadCoverage(t, rpm, new Float64Array(1), { rpmEdges: [0, 1], loadEdges: [0, 1] })).toThrow('E_LENGTHS');
});
