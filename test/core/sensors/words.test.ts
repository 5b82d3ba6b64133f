import { describe, expect, it } from 'vitest';
import {
  ceilingFinding,
  engineOffPressure,
  lambdaFromPumpCurrent,
  pressureReferenceOf,
  readingsOnCeiling,
} from '../../../packages/core/src/sensors/index.js';
import { inventedCeiling as ceiling } from './inventedCeiling.js';

describe('ceilingFinding', () => {
  it('says what is cut off, what that means, and which range is needed', () => {
    const finding = ceilingFinding(ceiling(), { where: { path: 'a.csv' } });
    expect(finding).toEqual({
      code: 'W_SENSOR_CEILING',
      severity: 'warning',
      message:
        'Manifold pressure is cut off at 200.0 kPa: 40 readings in 3 pulls stand there without any noise. The real pressure was at least that, and how much more nobody can read from this log; these readings count as “at least” and enter no average.',
      where: { path: 'a.csv' },
      fix: expect.stringMatching(
        /^Fit and scale a sensor that reads to at least 240\.0 kPa absolute \(such as .+, to \d+\.\d kPa\), or log a channel with a wider range, then log again\.$/,
      ),
      count: 40,
    });
  });

  it('names the sensor only where one reaches far enough', () => {
    expect(ceilingFinding(ceiling({ value: 5e6 })).fix).toBe(
      'Fit and scale a sensor that reads to at least 6000.0 kPa absolute, or log a channel with a wider range, then log again.',
    );
  });

  it('says so where it is only possible, where jitter is left, and where the clamp sits', () => {
    const evidence = { ...ceiling().evidence, noiseAtLevelCounts: 0.4 };
    const finding = ceilingFinding(ceiling({ certainty: 'possible', visits: 1, evidence, place: 'the end of a range of 255 counts' }), {
      quantity: 'inlet pressure',
    });
    expect([finding.code, finding.severity]).toEqual(['W_SENSOR_CEILING_POSSIBLE', 'note']);
    expect(finding.message).toMatch(
      /^Inlet pressure may be cut off at 200\.0 kPa \(the end of a range of 255 counts\): 40 readings in 1 pull stand there with no more than a count of jitter\./,
    );
  });

  it('says what a ceiling means as boost, and what a floor means', () => {
    expect(ceilingFinding(ceiling(), { stationPressurePa: 99_000 }).message).toMatch(
      /\(101 kPa\) of boost where the barometer is 99\.0 kPa/,
    );
    const floor = ceilingFinding(ceiling({ side: 'lower', value: 20_000 }), { stationPressurePa: 99_000 });
    expect([floor.code, floor.fix]).toEqual(['W_SENSOR_FLOOR', 'Log with a sensor or channel whose range reaches lower.']);
    expect(floor.message).toBe(
      'Manifold pressure is cut off at 20.0 kPa: 40 readings in 3 pulls stand there without any noise. The real pressure was at most that; these readings enter no average.',
    );
    expect(ceilingFinding(ceiling({ side: 'lower', certainty: 'possible' })).code).toBe('W_SENSOR_FLOOR_POSSIBLE');
  });
});

describe('readingsOnCeiling', () => {
  it('takes in readings as far below as jitter reaches, all beyond, and never a NaN', () => {
    const values = Float64Array.of(199_799, 199_800, 200_000, 205_000, Number.NaN);
    expect([...readingsOnCeiling(values, ceiling())]).toEqual([0, 1, 1, 1, 0]);
    const floor = ceiling({ side: 'lower', value: 20_000 });
    expect([...readingsOnCeiling(Float64Array.of(20_201, 20_200, 20_000, 1000, Number.NaN), floor)]).toEqual([0, 1, 1, 1, 0]);
  });
});

describe('lambdaFromPumpCurrent', () => {
  // Source: Bosch Motorsport, LSU 4.9 datasheet; FORMULAS CK-6.8.
  it.each([
    [0, 1],
    [0.329, 1.179],
    [0.671, 1.429],
    [0.938, 1.701],
    [1.15, 1.99],
    [1.385, 2.434],
  ])('%s mA is lambda %s', (milliamp, lambda) => {
    expect(lambdaFromPumpCurrent(milliamp / 1000)).toBeCloseTo(lambda, 9);
  });

  it('is straight in 1/lambda between them, and says nothing beyond', () => {
    expect(1 / lambdaFromPumpCurrent(0.5e-3)).toBeCloseTo(1 / 1.179 + ((0.5 - 0.329) / (0.671 - 0.329)) * (1 / 1.429 - 1 / 1.179), 9);
    for (const ampere of [-1e-6, 1.3851e-3, Number.NaN]) expect(lambdaFromPumpCurrent(ampere)).toBeNaN();
  });
});

describe('pressureReferenceOf', () => {
  const readings = (count: number, pa: (i: number) => number, rpm: (i: number) => number) =>
    pressureReferenceOf(
      Float64Array.from({ length: count }, (_, i) => pa(i)),
      Float64Array.from({ length: count }, (_, i) => rpm(i)),
    );

  it.each([
    ['below zero', 20, () => -6000, () => 800, 'gauge', 'it reads below zero, down to -6.0 kPa, which absolute pressure cannot'],
    [
      'barely below zero',
      20,
      (i: number) => (i < 4 ? -4900 : 60_000),
      () => 800,
      'cannot tell',
      'it reads from -4.9 kPa to 60.0 kPa, which either could',
    ],
    [
      'the weather, engine off',
      20,
      (i: number) => (i < 5 ? 100_000 : 30_000),
      (i: number) => (i < 5 ? 0 : 800),
      'absolute',
      'with the engine off it reads 100.0 kPa',
    ],
    [
      'zero, engine off',
      20,
      (i: number) => (i < 5 ? 500 : 30_000),
      (i: number) => (i < 5 ? 49 : 800),
      'gauge',
      'with the engine off it reads 0.5 kPa',
    ],
    [
      'idle to full load',
      20,
      (i: number) => (i < 10 ? 30_000 : 98_000),
      () => 900,
      'absolute',
      'it reads from 30.0 kPa to 98.0 kPa and never near zero',
    ],
    [
      'never full load',
      20,
      (i: number) => (i < 10 ? 30_000 : 60_000),
      () => 900,
      'cannot tell',
      'it reads from 30.0 kPa to 60.0 kPa, which either could',
    ],
    [
      'near zero',
      20,
      (i: number) => (i < 10 ? 5000 : 98_000),
      () => 900,
      'cannot tell',
      'it reads from 5.0 kPa to 98.0 kPa, which either could',
    ],
    ['too little', 9, () => 30_000, () => 900, 'cannot tell', 'fewer than ten readings'],
    [
      'four readings, engine off',
      20,
      (i: number) => (i < 4 ? 500 : 60_000),
      (i: number) => (i < 4 ? 0 : 800),
      'cannot tell',
      'it reads from 0.5 kPa to 60.0 kPa, which either could',
    ],
  ] as const)('%s', (_, count, pa, rpm, reference, evidence) => {
    expect(readings(count, pa, rpm)).toEqual({ reference, evidence });
  });

  it('looks past missing readings, and takes the weather as it is told', () => {
    const values = Float64Array.from({ length: 30 }, (_, i) => (i % 3 === 0 ? Number.NaN : i < 15 ? 70_000 : 30_000));
    const rpm = Float64Array.from({ length: 30 }, (_, i) => (i < 15 ? 0 : 800));
    expect(pressureReferenceOf(values, rpm, { stationPressurePa: 70_500 }).evidence).toBe('with the engine off it reads 70.0 kPa');
    expect(pressureReferenceOf(values, rpm, { stationPressurePa: null }).reference).toBe('cannot tell');
    // Two of three missing: nine readings of 27 are too few, 20 of 60 are enough.
    const sparse = (count: number) =>
      readings(
        count,
        (i) => (i % 3 > 0 ? Number.NaN : i < count / 2 ? 100_000 : 30_000),
        (i) => (i < count / 2 ? 0 : 800),
      );
    expect(sparse(27).evidence).toBe('fewer than ten readings');
    expect(sparse(60).evidence).toBe('with the engine off it reads 100.0 kPa');
  });

  it('takes readings in whatever order they come', () => {
    const found = readings(
      40,
      (i) => (i % 4 === 1 ? 98_000 : i % 4 === 2 ? 30_000 : 60_000),
      () => 900,
    );
    expect(found).toEqual({ reference: 'absolute', evidence: 'it reads from 30.0 kPa to 98.0 kPa and never near zero' });
  });
});

describe('engineOffPressure', () => {
  const still = (count: number, pa: (i: number) => number, options = {}) =>
    engineOffPressure(
      Float64Array.from({ length: count }, (_, i) => i),
      Float64Array.from({ length: count }, (_, i) => pa(i)),
      new Float64Array(count),
      options,
    );

  it('is the median of five or more readings, with the distance that nine in ten keep', () => {
    expect(still(5, (i) => 99_000 + 100 * i)).toEqual({ pressurePa: 99_200, scatterPa: 200, readings: 5, findings: [] });
    expect(still(6, (i) => 99_000 + 100 * i)).toMatchObject({ pressurePa: 99_250, scatterPa: 250, readings: 6 });
    expect(still(10, (i) => (i === 9 ? 150_000 : 99_000))).toMatchObject({ pressurePa: 99_000, scatterPa: 0 });
    expect(still(4, () => 99_000)).toEqual({ pressurePa: null, scatterPa: null, readings: 4, findings: [] });
    // In whatever order they come.
    expect(still(5, (i) => [99_400, 99_000, 99_300, 99_100, 99_200][i]!)).toMatchObject({ pressurePa: 99_200, scatterPa: 200 });
    expect(still(5, (i) => [9_000, 100_000, 90_000, 11_000, 10_000][i]!)).toMatchObject({ pressurePa: 11_000, scatterPa: 89_000 });
    expect(still(5, (i) => [101_000, 100_500, 10_000, 99_000, 100_000][i]!)).toMatchObject({ pressurePa: 100_000, scatterPa: 90_000 });
  });

  it('waits a second after the engine stopped, and leaves out readings that are missing or turning', () => {
    const timeS = Float64Array.of(0, 1, 1.9, 2, 3, 4, 5, 6, 7);
    const rpm = Float64Array.of(800, 50, 49, 49, 0, 0, Number.NaN, 0, 0);
    const pa = Float64Array.of(30_000, 30_000, 60_000, 99_000, 99_000, 99_000, 30_000, Number.NaN, 99_000);
    const found = engineOffPressure(timeS, pa, rpm, {});
    expect([found.pressurePa, found.readings]).toEqual([null, 4]);
    expect(engineOffPressure(timeS, pa, rpm, { settleS: 0.5 })).toMatchObject({ pressurePa: 99_000, readings: 5 });
    expect(engineOffPressure(timeS, pa, rpm, { stillBelowRpm: 49 }).readings).toBe(3);
  });

  it.each([
    [99_000, 101_000, null],
    [
      99_000,
      101_001,
      /^With the engine off manifold pressure reads 99\.0 kPa, but 101\.0 kPa was entered for the weather, 2\.0 kPa apart\. The entered pressure may be an altimeter setting \(reduced to sea level\) instead of station pressure, or the sensor law is not this sensor’s\. Boost and air density rest on it\.$/,
    ],
    [4999, 101_000, /The channel reads about zero: it is gauge pressure, not absolute\./],
    [5001, 90_000, /Either the entered pressure belongs to another place or day, or the sensor law is not this sensor’s\./],
    [110_000, 101_000, /Either the entered pressure belongs to another place or day/],
  ])('%s Pa against an entered %s Pa', (pa, enteredPressurePa, message) => {
    const { findings } = still(6, () => pa, { enteredPressurePa, where: { path: 'a.csv' } });
    if (message === null) expect(findings).toEqual([]);
    else {
      expect(findings).toHaveLength(1);
      expect(findings[0]).toMatchObject({ code: 'W_BAROMETER_DISAGREES', severity: 'warning', where: { path: 'a.csv' }, count: 6 });
      expect(findings[0]!.message).toMatch(message);
      expect(findings[0]!.fix).toBe('Enter station pressure (not reduced to sea level) for place and hour, and check the sensor’s law.');
    }
  });

  it('refuses arrays of unlike lengths', () => {
    expect(() => engineOffPressure(new Float64Array(3), new Float64Array(2), new Float64Array(3))).toThrow(
      'Time has 3 values, pressure 2, engine speed 3. Give arrays of one length. [E_LENGTHS]',
    );
    expect(() => engineOffPressure(new Float64Array(3), new Float64Array(3), new Float64Array(4))).toThrow('[E_LENGTHS]');
  });
});
