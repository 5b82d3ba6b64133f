import { accelerationFromPower, convert, roadLoad, wheelPowerW } from '@pullproof/core';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';

const car = { massKg: 1600, rotatingFactor: 1.08, airDensityKgPerM3: 1.18, dragAreaM2: 0.65, rollingCoefficient: 0.012 };

describe('road load', () => {
  test('CK-3.1: forces and wheel power at 30 m/s and 2.5 m/s²', () => {
    // Source: CK-3.1, computed independently: 4320.00 + 345.15 + 188.288 = 4853.438 N; 145.6031 kW = 195.257 hp.
    const load = roadLoad(30, car);
    expect(load.aeroN).toBeCloseTo(345.15, 9);
    expect(load.rollingN).toBeCloseTo(188.288, 3);
    expect(load.gradeN).toBe(0);
    expect(load.totalN + 1600 * 1.08 * 2.5).toBeCloseTo(4853.438, 3);
    const powerW = wheelPowerW(30, 2.5, car);
    expect(Math.abs(powerW / 1000 - 145.6031)).toBeLessThanOrEqual(1e-3);
    expect(convert(powerW, 'W', 'hp')).toBeCloseTo(195.257, 3);
    expect(accelerationFromPower(30, powerW, car)).toBeCloseTo(2.5, 12);
  });

  test.each([
    // Source: CK-3.2, computed independently.
    [3, 417.63],
    [-3, 279.57],
  ])('CK-3.2: headwind of %s m/s', (headwindMps, aeroN) => {
    expect(Math.abs(roadLoad(30, { ...car, headwindMps }).aeroN - aeroN)).toBeLessThanOrEqual(0.01);
  });

  test('CK-3.3: 1 % grade', () => {
    // Source: CK-3.3: 156.899 N, 4.71 kW at 30 m/s, computed independently.
    const { gradeN } = roadLoad(30, { ...car, grade: 0.01 });
    expect(Math.abs(gradeN - 156.899)).toBeLessThanOrEqual(0.01);
    expect(gradeN * 30).toBeCloseTo(4707, 0);
    expect(roadLoad(30, { ...car, grade: -0.01 }).gradeN).toBe(-gradeN);
  });

  test('CK-3.8: a speed 3 % high inflates inertial power by 6.09 %', () => {
    // Source: CK-3.8, arithmetic.
    const inertial = (share: number) => wheelPowerW(30 * (1 + share), 2.5 * (1 + share), { ...car, dragAreaM2: 0, rollingCoefficient: 0 });
    expect(inertial(0.03) / inertial(0) - 1).toBeCloseTo(0.0609, 12);
  });

  test('a tailwind faster than the car pushes it', () => {
    expect(roadLoad(2, { ...car, headwindMps: -5 }).aeroN).toBeLessThan(0);
  });

  test('power and acceleration are inverse, and the linear part of the wind cancels between directions', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 5, max: 70, noNaN: true }),
        fc.double({ min: -3, max: 6, noNaN: true }),
        fc.double({ min: -4, max: 4, noNaN: true }),
        fc.double({ min: -0.05, max: 0.05, noNaN: true }),
        (speedMps, acceleration, headwindMps, grade) => {
          const inputs = { ...car, headwindMps, grade };
          const back = accelerationFromPower(speedMps, wheelPowerW(speedMps, acceleration, inputs), inputs);
          const mean = (roadLoad(speedMps, inputs).aeroN + roadLoad(speedMps, { ...inputs, headwindMps: -headwindMps }).aeroN) / 2;
          const square = 0.5 * 1.18 * 0.65 * (speedMps ** 2 + headwindMps ** 2);
          return Math.abs(back - acceleration) < 1e-9 && Math.abs(mean - square) < 1e-6;
        },
      ),
      { seed: 11, numRuns: 300 },
    );
  });

  test.each([
    ['NaN speed', () => roadLoad(Number.NaN, car)],
    ['no mass', () => roadLoad(30, { ...car, massKg: 0 })],
    ['negative drag area', () => roadLoad(30, { ...car, dragAreaM2: -0.7 })],
    ['grade in percent', () => roadLoad(30, { ...car, grade: 2 })],
    ['a wind of NaN', () => roadLoad(30, { ...car, headwindMps: Number.NaN })],
    ['a rotating factor below 1', () => wheelPowerW(30, 2, { ...car, rotatingFactor: 0.08 })],
    ['power at a standstill', () => accelerationFromPower(0, 1e5, car)],
    ['power of NaN', () => accelerationFromPower(30, Number.NaN, car)],
  ])('refuses %s', (_name, call) => {
    expect(call).toThrow(expect.objectContaining({ code: 'E_ROAD_LOAD' }));
  });
});
