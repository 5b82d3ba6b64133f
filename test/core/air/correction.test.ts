import { type CorrectionStandard, correctionStandards, moistAir, powerCorrection } from '@pullproof/core';
import { describe, expect, test } from 'vitest';

const engine = { boostControl: 'none' } as const;

function factorAt(standard: CorrectionStandard, celsius: number, dryPressurePa: number, stationPressurePa = dryPressurePa): number {
  return powerCorrection(standard, { temperatureK: celsius + 273.15, stationPressurePa, dryPressurePa }, engine).factor;
}

describe('factors', () => {
  test.each<[string, CorrectionStandard, number, number, number, number, number]>([
    // Source: CK-2.1: reference states, by definition.
    ['CK-2.1', 'sae-j1349', 25, 99000, 99000, 1, 1e-6],
    ['CK-2.1', 'iso-1585', 25, 99000, 99000, 1, 1e-6],
    // Source: CK-2.2, 2.3: 30 °C, 98 kPa, 50 % and 10 °C, 102 kPa, 40 % with WMO saturation, computed independently from the standards' formulas.
    ['CK-2.2', 'sae-j1349', 30, 95883.14, 98000, 1.04854, 2e-5],
    ['CK-2.2', 'iso-1585', 30, 95883.14, 98000, 1.04956, 2e-5],
    ['CK-2.2', 'sae-j607', 30, 95883.14, 98000, 1.09778, 2e-5],
    ['CK-2.2', 'sae-j607-plain', 30, 95883.14, 98000, 1.08287, 2e-5],
    ['CK-2.2', 'din-70020', 30, 95883.14, 98000, 1.05117, 2e-5],
    ['CK-2.3', 'sae-j1349', 10, 101509.59, 102000, 0.94149, 2e-5],
    ['CK-2.3', 'iso-1585', 10, 101509.59, 102000, 0.9408, 2e-5],
    ['CK-2.3', 'sae-j607', 10, 101509.59, 102000, 0.98647, 2e-5],
    ['CK-2.3', 'din-70020', 10, 101509.59, 102000, 0.97604, 2e-5],
    // Source: CK-2.4: the 60 °F reference.
    ['CK-2.4', 'sae-j607', 15.5556, 101325, 101325, 1, 2e-5],
    ['CK-2.4', 'sae-j1349', 15.5556, 101325, 101325, 0.95451, 2e-5],
  ])('%s: %s at %s °C, %s Pa dry', (_id, standard, celsius, dryPa, totalPa, expected, tolerance) => {
    expect(Math.abs(factorAt(standard, celsius, dryPa, totalPa) - expected)).toBeLessThanOrEqual(tolerance);
  });

  test('CK-2.2: the 1.18 and 0.18 of J1349 are friction of an engine with 85 % mechanical efficiency around the indicated factor', () => {
    // Source: CK-2.2: indicated factor 1.04113.
    expect(Math.abs((factorAt('sae-j1349', 30, 95883.14) + 0.18) / 1.18 - 1.04113)).toBeLessThanOrEqual(2e-5);
  });

  test('CK-2.5: compression ignition', () => {
    // Source: CK-2.5: dry 95 kPa, T 308 (t + 273): f_a 1.066463 and 1.081533; q_c 50 mg/L gives f_m 0.66 and 1.043384 (naturally aspirated), computed independently.
    const inlet = { temperatureK: 35 + 273.15, stationPressurePa: 97000, dryPressurePa: 95000 };
    const at = (standard: CorrectionStandard, fuelPerCycleMgPerL: number) =>
      powerCorrection(standard, inlet, { ...engine, fuelPerCycleMgPerL }).factor;
    expect(Math.abs(at('iso-1585-diesel', 50) - 1.043384)).toBeLessThanOrEqual(1e-6);
    expect(Math.abs(at('iso-1585-diesel', 50) ** (1 / 0.66) - 1.066463)).toBeLessThanOrEqual(1e-6);
    expect(Math.abs(at('iso-1585-diesel-turbo', 50) ** (1 / 0.66) - 1.081533)).toBeLessThanOrEqual(1e-6);
    // Source: UN R85 Annex 5 as quoted: f_m is 0.3 up to 40 mg/L and 1.2 from 65 mg/L.
    expect(Math.abs(at('iso-1585-diesel', 20) ** (1 / 0.3) - 1.066463)).toBeLessThanOrEqual(1e-6);
    expect(Math.abs(at('iso-1585-diesel', 80) ** (1 / 1.2) - 1.066463)).toBeLessThanOrEqual(1e-6);
  });

  test('CK-2.6: J607 with friction reads 4.6 to 4.8 % above J1349 in all normal weather', () => {
    // Source: CK-2.6, computed independently.
    for (const celsius of [5, 15, 25, 35]) {
      for (const dryPa of [90e3, 96e3, 102e3]) {
        const ratio = factorAt('sae-j607', celsius, dryPa) / factorAt('sae-j1349', celsius, dryPa);
        expect(ratio).toBeGreaterThan(1.0455);
        expect(ratio).toBeLessThan(1.0485);
      }
    }
  });

  test('CK-1.25: sea-level pressure used at 1500 m turns 1.2225 into 0.9875', () => {
    // Source: CK-1.25, 25 °C, 40 %.
    const at = (stationPressurePa: number) =>
      powerCorrection('sae-j1349', { temperatureK: 298.15, stationPressurePa, relativeHumidity: 0.4 }, engine).factor;
    expect(Math.abs(at(84555.99) - 1.2225)).toBeLessThan(3e-4);
    expect(Math.abs(at(101325) - 0.9875)).toBeLessThan(3e-4);
  });

  test('humidity and dry pressure are two ways to say the same', () => {
    const air = { temperatureK: 303.15, stationPressurePa: 98000, relativeHumidity: 0.5 };
    const { dryPressurePa } = moistAir(air);
    for (const standard of correctionStandards) {
      expect(powerCorrection(standard, air, engine).factor).toBe(powerCorrection(standard, { ...air, dryPressurePa }, engine).factor);
    }
  });
});

describe('warnings', () => {
  const warningAt = (standard: CorrectionStandard, celsius: number, dryPressurePa: number, options: object = engine) =>
    powerCorrection(standard, { temperatureK: celsius + 273.15, stationPressurePa: dryPressurePa, dryPressurePa }, options).warning;

  test('none at the reference state of an engine without boost', () => {
    expect(warningAt('sae-j1349', 25, 99000)).toBeNull();
    expect(warningAt('iso-1585', 25, 99000)).toBeNull();
    expect(warningAt('iso-1585-diesel', 25, 99000, { ...engine, fuelPerCycleMgPerL: 50 })).toBeNull();
  });

  test.each<[CorrectionStandard, number, number, string]>([
    // Source: windows of the standards, from memory (FORMULAS §2, Limits).
    ['sae-j1349', 10, 99000, 'outside the 15 to 35 °C'],
    ['sae-j1349', 25, 88000, 'outside the 90 to 105 kPa'],
    ['sae-j1349', 30, 94000, 'a factor of 1.073 is outside the 0.97 to 1.03'],
    ['iso-1585', 30, 92000, 'outside the 0.93 to 1.07'],
    ['iso-1585', 40, 99000, 'outside the 15 to 35 °C'],
    ['iso-1585-diesel', 5, 99000, 'outside the 10 to 40 °C'],
    ['iso-1585-diesel', 25, 99000, 'engine factor, 0.3, was assumed'],
    ['sae-j607', 15.6, 101325, 'superseded'],
    ['din-70020', 20, 101325, 'withdrawn'],
  ])('%s at %s °C, %s Pa says "%s"', (standard, celsius, dryPa, text) => {
    expect(warningAt(standard, celsius, dryPa)).toContain(text);
  });

  test('boosted engines, by kind of control', () => {
    // Source: UN R85 supplement 7 (proposal GRPE-70-02): the factor double-corrects engines whose boost control makes up for the air.
    expect(warningAt('iso-1585', 25, 99000, { boostControl: 'controlled' })).toContain('corrects twice');
    expect(warningAt('sae-j1349', 25, 99000, { boostControl: 'fixed-ratio' })).toContain('direction holds');
    expect(warningAt('sae-j1349', 25, 99000, {})).toContain('not known whether');
    expect(warningAt('sae-j1349', 25, 99000, { boostControl: null })).toContain('not known whether');
  });

  test.each([
    ['dry pressure above station pressure', { temperatureK: 298, stationPressurePa: 98e3, dryPressurePa: 99e3 }, {}, 'E_AIR'],
    ['NaN', { temperatureK: 298, stationPressurePa: 98e3, dryPressurePa: Number.NaN }, {}, 'E_AIR'],
    ['Celsius as kelvin', { temperatureK: 25, stationPressurePa: 98e3, dryPressurePa: 97e3 }, {}, 'E_AIR'],
    ['no fuel', { temperatureK: 298, stationPressurePa: 98e3, relativeHumidity: 0.5 }, { fuelPerCycleMgPerL: 0 }, 'E_CORRECTION'],
  ])('refuses %s', (_name, inlet, options, code) => {
    expect(() => powerCorrection('iso-1585-diesel', inlet, options)).toThrow(expect.objectContaining({ code }));
  });
});
