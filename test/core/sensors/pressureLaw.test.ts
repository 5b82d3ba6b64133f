import { describe, expect, test } from 'vitest';
import {
  highestBoostOf,
  pressureFromVoltage,
  pressureLaw,
  publishedPressureSensor,
  publishedPressureSensors,
  ratiometricLaw,
  rescalePressure,
  supplyVoltageErrorPa,
  voltageFromPressure,
} from '../../../packages/core/src/sensors/index.js';

describe('published laws', () => {
  // Source: FORMULAS.md CK-5.1, computed from the datasheet laws at Vs = 5 V (coefficients of the last two from memory).
  test.each([
    ['MPX4115A', 4.025],
    ['MPX4250A', 1.8],
    ['MPXH6300A', 1.5724],
    ['MPXH6400A', 1.1684],
  ])('CK-5.1: %s at 100 kPa', (name, voltageV) => {
    expect(Math.abs(voltageFromPressure(publishedPressureSensor(name).law, 100000) - voltageV)).toBeLessThan(1e-4);
  });

  // Source: Bosch Motorsport datasheet 54264971144257547: 0.4–4.65 V over the range; CK-5.2 and CK-5.3.
  test.each([
    ['Bosch PST 1', 10000, 0.40004],
    ['Bosch PST 1', 115000, 4.65044],
    ['Bosch PST 3', 20000, 0.40003],
    ['Bosch PST 3', 300000, 4.65043],
  ])('CK-5.2, CK-5.3: %s at %d Pa', (name, pressurePa, voltageV) => {
    const law = publishedPressureSensor(name).law;
    expect(Math.abs(voltageFromPressure(law, pressurePa) - voltageV)).toBeLessThan(2e-5);
    expect(pressureFromVoltage(law, voltageV)).toBeCloseTo(pressurePa, -1);
  });

  // Source: FORMULAS.md §5, table of the two end points of each law.
  test.each([
    ['MPX4115A', 10.556, 121.667],
    ['MPX4250A', 10, 260],
    ['MPXH6300A', 1.11, 315.575],
    ['MPXH6400A', 3.478, 416.53],
    ['Bosch PST 1', 0.12, 123.64],
    ['Bosch PST 3', -6.35, 323.03],
  ])('%s ends at the published pressures', (name, zeroKpa, supplyKpa) => {
    const law = publishedPressureSensor(name).law;
    expect(pressureFromVoltage(law, 0) / 1000).toBeCloseTo(zeroKpa, 2);
    expect(pressureFromVoltage(law, 5) / 1000).toBeCloseTo(supplyKpa, 2);
  });

  test('every law goes there and back, and its rated range lies within 0 to 5 V', () => {
    for (const { law, lowestPa, highestPa } of publishedPressureSensors) {
      expect(pressureFromVoltage(law, voltageFromPressure(law, 123456))).toBeCloseTo(123456, 6);
      expect(voltageFromPressure(law, lowestPa)).toBeGreaterThan(0);
      expect(voltageFromPressure(law, highestPa)).toBeLessThan(5);
    }
  });

  test('an unknown name is refused with the known ones', () => {
    expect(() => publishedPressureSensor('XY 1')).toThrow('MPX4250A');
  });
});

describe('rescalePressure', () => {
  // Source: FORMULAS.md CK-5.5 and CK-5.6, computed by direct conversion of the voltage.
  test.each([
    ['CK-5.5', 'MPX4115A', 'Bosch PST 3', 4.0, 99.444, 257.152],
    ['CK-5.6', 'MPX4250A', 'MPXH6400A', 3.2, 170, 267.8315],
  ])('%s: logged through %s, fitted %s', (_, logged, fitted, voltageV, loggedKpa, trueKpa) => {
    const from = publishedPressureSensor(logged).law;
    const to = publishedPressureSensor(fitted).law;
    const values = Float64Array.of(pressureFromVoltage(from, voltageV));
    expect(values[0]! / 1000).toBeCloseTo(loggedKpa, 3);
    const rescaled = rescalePressure(values, from, to);
    expect(rescaled[0]! / 1000).toBeCloseTo(trueKpa, 3);
    expect(rescaled[0]!).toBeCloseTo(pressureFromVoltage(to, voltageV), 6);
  });

  test('a log through a wrong law, in 0.1 kPa steps, comes back within 0.1 kPa of the truth', () => {
    const logged = pressureLaw({ voltageV: 0, pressurePa: 10000 }, { voltageV: 5, pressurePa: 260000 });
    const fitted = pressureLaw({ voltageV: 0, pressurePa: 1100 }, { voltageV: 5, pressurePa: 315600 });
    const truthPa = Float64Array.from({ length: 400 }, (_, i) => 30000 + 650 * i);
    const log = truthPa.map((p) => Math.round(pressureFromVoltage(logged, voltageFromPressure(fitted, p)) / 100) * 100);
    const back = rescalePressure(log, logged, fitted);
    for (let i = 0; i < truthPa.length; i++) expect(Math.abs(back[i]! - truthPa[i]!)).toBeLessThan(100);
  });

  test('NaN stays NaN and the input is left alone', () => {
    const law = publishedPressureSensor('MPX4250A').law;
    const values = Float64Array.of(Number.NaN, 1e5);
    expect(rescalePressure(values, law, law)).toEqual(Float64Array.of(Number.NaN, 1e5));
  });
});

test('CK-5.7: one bar and one atmosphere in psi and inHg', () => {
  // Source: definitions of the psi (6894.757293168361 Pa) and of the conventional inch of mercury (3386.389 Pa).
  expect(100000 / 6894.757293168361).toBeCloseTo(14.503774, 6);
  expect(101325 / 6894.757293168361).toBeCloseTo(14.695949, 6);
  expect(101325 / 3386.38864).toBeCloseTo(29.921252, 5);
});

test('CK-5.8: a range that ends at 200 kPa absolute', () => {
  // Source: FORMULAS.md CK-5.8.
  expect(highestBoostOf(200000, 101325).gaugePa / 6894.757293168361).toBeCloseTo(14.31, 2);
  expect(highestBoostOf(200000, 84000).gaugePa / 6894.757293168361).toBeCloseTo(16.82, 2);
});

test('a supply 2 % low on a fixed reference reads 2 % of the span above the offset low', () => {
  const law = publishedPressureSensor('MPX4250A').law;
  const read = pressureFromVoltage(law, voltageFromPressure(law, 200000, { supplyV: 4.9 }));
  expect(read - 200000).toBeCloseTo(supplyVoltageErrorPa(law, 200000, -0.1), 6);
  expect(supplyVoltageErrorPa(law, 200000, -0.1)).toBeCloseTo(-3800, 6);
});

test('two points at one voltage are no law', () => {
  expect(() => pressureLaw({ voltageV: 1, pressurePa: 1 }, { voltageV: 1, pressurePa: 2 })).toThrow('E_SENSOR_LAW');
  expect(() => pressureLaw({ voltageV: 1, pressurePa: 2 }, { voltageV: 2, pressurePa: 2 })).toThrow('E_SENSOR_LAW');
});

test('a refusal says both points and the supply, or the names that are known', () => {
  expect(() => pressureLaw({ voltageV: 1, pressurePa: 1 }, { voltageV: 1, pressurePa: 2 })).toThrow(
    'A line through 1 Pa at 1 V and 2 Pa at 1 V (supply 5 V) is no sensor law. Give two different voltages with two different pressures. [E_SENSOR_LAW]',
  );
  for (const supplyV of [0, -5, Number.NaN]) {
    expect(() => pressureLaw({ voltageV: 1, pressurePa: 1 }, { voltageV: 2, pressurePa: 2 }, { supplyV })).toThrow('E_SENSOR_LAW');
  }
  expect(() => pressureLaw({ voltageV: 1, pressurePa: 1 }, { voltageV: 1e-320, pressurePa: Number.NaN })).toThrow('E_SENSOR_LAW');
  expect(() => publishedPressureSensor('XY 1')).toThrow(
    'No published law is known for a sensor named XY 1. Give two points of its law instead, or one of: MPX4115A, MPX4250A, MPXH6300A, MPXH6400A, Bosch PST 1, Bosch PST 3, Bosch 0 281 002 573. [E_SENSOR_UNKNOWN]',
  );
  expect(publishedPressureSensor('bosch pst 1').name).toBe('Bosch PST 1');
});

test('a law keeps its supply and what its zero is', () => {
  const law = pressureLaw({ voltageV: 0.5, pressurePa: 0 }, { voltageV: 4.5, pressurePa: 4e5 }, { supplyV: 5.1, reference: 'gauge' });
  expect(law).toEqual({ offsetPa: -5e4, slopePaPerV: 1e5, supplyV: 5.1, reference: 'gauge' });
  // V = V_s (k P + c) with k 0.002/kPa and c 0.1 at 3.3 V: 0 V is −50 kPa, 3.3 V is 450 kPa.
  const ratiometric = ratiometricLaw(2e-6, 0.1, { supplyV: 3.3 });
  expect(pressureFromVoltage(ratiometric, 0)).toBeCloseTo(-5e4, 6);
  expect(pressureFromVoltage(ratiometric, 3.3)).toBeCloseTo(4.5e5, 6);
  expect(ratiometricLaw(2e-6, 0.1)).toMatchObject({ supplyV: 5, reference: 'absolute' });
});

test('what a range means for boost is said in one sentence', () => {
  expect(highestBoostOf(200000, 84000).sentence).toBe(
    'A sensor whose range ends at 200 kPa absolute tops out at 16.8 psi (116 kPa) of boost where the barometer is 84.0 kPa; at sea level (101.325 kPa) that would be 14.3 psi.',
  );
});
