import { describe, expect, test } from 'vitest';
import { randomStream } from '../../../packages/core/src/maths/index.js';
import { type CeilingSeries, ceilingFinding, findCeilings, readingsOnCeiling } from '../../../packages/core/src/sensors/index.js';

/** A drive in one log: key on, then per pull idle, cruise and the pull itself. Pa. */
function drive(
  seed: number,
  shapeKpa: (share: number) => number,
  options: { pulls: number; capKpa?: number; jitter?: number },
): CeilingSeries {
  const random = randomStream(seed);
  const timeS: number[] = [];
  const values: number[] = [];
  const engineSpeedRpm: number[] = [];
  const put = (kpa: number, rpm: number): void => {
    let code = Math.round(kpa / 0.5);
    if (options.capKpa !== undefined && kpa > options.capKpa) {
      code = Math.round(options.capKpa / 0.5);
      if (random.uniform() < (options.jitter ?? 0)) code += random.uniform() < 0.5 ? 1 : -1;
    }
    timeS.push(timeS.length / 20);
    values.push(code * 500);
    engineSpeedRpm.push(rpm);
  };
  for (let i = 0; i < 100; i++) put(99, 0);
  for (let pull = 0; pull < options.pulls; pull++) {
    for (let i = 0; i < 160; i++) put(38 + 2 * random.normal(), 800);
    for (let i = 0; i < 160; i++) put(60 + 10 * Math.sin(i / 20) + random.normal(), 2200);
    const scale = 1 + 0.005 * random.normal();
    for (let i = 0; i < 100; i++) put(shapeKpa(i / 100) * scale + 0.5 * random.normal(), 2500 + 40 * i);
  }
  return { timeS: Float64Array.from(timeS), values: Float64Array.from(values), engineSpeedRpm: Float64Array.from(engineSpeedRpm) };
}

describe('findCeilings', () => {
  test('CK-10.1: 55 readings at 200 are one run', () => {
    // Source: FORMULAS.md CK-10.1, computed: min(round to 0.5 of 170 + 40 sin(πt/1.2), 200), t = 0, 0.01 … 1; 55 samples from t = 0.33 to 0.87.
    const timeS = Float64Array.from({ length: 101 }, (_, i) => i / 100);
    const values = timeS.map((t) => Math.min(Math.round((170 + 40 * Math.sin((Math.PI * t) / 1.2)) / 0.5) * 0.5, 200));
    const ceilings = findCeilings([{ timeS, values }]);
    expect(ceilings).toHaveLength(1);
    expect(ceilings[0]!.value).toBe(200);
    expect(ceilings[0]!.runs).toEqual([{ series: 0, fromRow: 33, toRow: 87 }]);
    expect(ceilings[0]!.certainty).toBe('possible');
    expect(readingsOnCeiling(values, ceilings[0]!).reduce((a, b) => a + b, 0)).toBe(55);
  });

  test('the same curve without the clamp is an ordinary maximum', () => {
    const timeS = Float64Array.from({ length: 101 }, (_, i) => i / 100);
    const values = timeS.map((t) => Math.round((170 + 40 * Math.sin((Math.PI * t) / 1.2)) / 0.5) * 0.5);
    expect(findCeilings([{ timeS, values }]).filter((one) => one.certainty === 'found')).toEqual([]);
  });

  test.each([150, 200, 255, 300])('a clamp at %d kPa in a whole drive with idle and cruise', (capKpa) => {
    const log = drive(capKpa, (x) => capKpa - 40 + 70 * x, { pulls: 3, capKpa, jitter: 0.3 });
    const [ceiling] = findCeilings([log], { stationPressurePa: 99000 });
    expect(ceiling).toMatchObject({ certainty: 'found', visits: 3, side: 'upper' });
    expect(Math.abs(ceiling!.value - capKpa * 1000)).toBeLessThanOrEqual(500);
  });

  test('a bypass that holds boost still breathes', () => {
    const log = drive(5, (x) => 170 * (1 - Math.exp(-x / 0.08)) + 1.5 * Math.sin(30 * x), { pulls: 4 });
    expect(findCeilings([log], { stationPressurePa: 99000 })).toEqual([]);
  });

  test('full load without a blower ends at the atmosphere, which is no sensor’s doing', () => {
    const log = drive(6, (x) => 98.2 - 0.4 * x, { pulls: 4 });
    expect(findCeilings([log], { stationPressurePa: 99000 })).toEqual([]);
  });

  test('a standing engine that reads one value is not looked at', () => {
    const timeS = Float64Array.from({ length: 400 }, (_, i) => i / 10);
    const engineOff = { timeS, values: timeS.map(() => 250000), engineSpeedRpm: timeS.map(() => 0) };
    expect(findCeilings([engineOff])).toEqual([]);
  });

  test('few readings say possible, and a NaN never becomes a verdict', () => {
    const timeS = Float64Array.from({ length: 20 }, (_, i) => i / 10);
    const values = timeS.map((t) => Math.min(200, Math.round(150 + 40 * t)));
    const [ceiling] = findCeilings([{ timeS, values }], { quantum: 1 });
    expect(ceiling).toMatchObject({ certainty: 'possible', value: 200 });
    expect(findCeilings([{ timeS, values: values.map(() => Number.NaN) }])).toEqual([]);
    expect(findCeilings([])).toEqual([]);
  });

  test('the end of an eight-bit channel is named', () => {
    const pulls = [0, 30].map((start) => {
      const timeS = Float64Array.from({ length: 60 }, (_, i) => start + i / 15);
      return { timeS, values: timeS.map((t) => Math.min(255, Math.round(215 + 20 * (t - start)))) };
    });
    expect(findCeilings(pulls, { quantum: 1 })[0]).toMatchObject({ value: 255, place: 'the end of a range of 255 counts' });
  });

  test('a floor is found from the other side', () => {
    const pulls = [0, 30, 60].map((start) => {
      const random = randomStream(start + 1);
      const timeS = Float64Array.from({ length: 80 }, (_, i) => start + i / 20);
      return {
        timeS,
        values: timeS.map((t) => Math.max(0.65, Math.round((0.75 - 0.05 * (t - start) + 0.004 * random.normal()) * 500) / 500)),
      };
    });
    const [floor] = findCeilings(pulls, { side: 'lower', breathing: 0.004 });
    expect(floor).toMatchObject({ side: 'lower', value: 0.65, certainty: 'found' });
    expect(readingsOnCeiling(Float64Array.of(0.65, 0.7, Number.NaN), floor!)).toEqual(Uint8Array.of(1, 0, 0));
  });

  test('arrays of different length are refused', () => {
    expect(() => findCeilings([{ timeS: new Float64Array(3), values: new Float64Array(2) }])).toThrow('E_LENGTHS');
  });

  test('CK-5.8: the finding says what the ceiling means as boost, and which range is needed', () => {
    // Source: definition of the psi; FORMULAS.md CK-5.8: 200 kPa absolute is 14.31 psi above 101.325 kPa and 16.82 psi above 84 kPa.
    const [ceiling] = findCeilings([drive(7, (x) => 160 + 70 * x, { pulls: 3, capKpa: 200, jitter: 0 })], { stationPressurePa: 99000 });
    const finding = ceilingFinding(ceiling!, { stationPressurePa: 84000 });
    expect(finding).toMatchObject({ code: 'W_SENSOR_CEILING', severity: 'warning' });
    expect(finding.message).toContain('16.8 psi');
    expect(finding.message).toContain('14.3 psi');
    expect(finding.fix).toContain('240.0 kPa absolute');
  });
});
