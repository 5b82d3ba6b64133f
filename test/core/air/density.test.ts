import { airDensity, airDensitySpread, moistAir, saturationPressurePa } from '@pullproof/core';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';

const MMHG_PA = 133.322387415;

describe('density of moist air', () => {
  test.each([
    // Source: CK-1.1, S. V. Gupta, Mass Metrology, appendix p. 205, as quoted by a public R package's test.
    ['CK-1.1', 10, 730 * MMHG_PA, 0.4, 1.19569, 1e-5],
    // Source: CK-1.2, same table; it is of the 1981/91 formula, whose argon value makes 6e-5 of difference.
    ['CK-1.2', 40, 760 * MMHG_PA, 0.4, 1.11497, 1e-4],
    // Source: CK-1.3 to 1.6, CIPM-2007 computed independently in Python (FORMULAS §1.1).
    ['CK-1.3', 20, 101325, 0.5, 1.1993139, 2e-6],
    ['CK-1.4', 20, 101325, 0, 1.2045573, 2e-6],
    ['CK-1.5', 35, 98000, 0.6, 1.0937729, 2e-6],
    ['CK-1.6', 15, 101325, 0, 1.2255213, 2e-6],
    // Source: OIML R 111-1:2004 annex E short form at 20 °C, 1013.25 hPa, 50 %: 1.199294 (coefficients from memory).
    ['OIML', 20, 101325, 0.5, 1.199294, 2e-4],
    // Source: ISA, U.S. Standard Atmosphere 1976: 1.2250 at 15 °C, an ideal gas of older composition, 4.4e-4 lower.
    ['ISA', 15, 101325, 0, 1.225 * (1 + 4.4e-4), 3e-5],
  ])('%s: %s °C, %s Pa, %s', (_id, celsius, stationPressurePa, relativeHumidity, expected, tolerance) => {
    const density = airDensity({ temperatureK: celsius + 273.15, stationPressurePa, relativeHumidity });
    expect(Math.abs(density - expected)).toBeLessThanOrEqual(tolerance);
  });

  test('CK-1.3: what the density is made of', () => {
    // Source: CK-1.3, computed independently in Python.
    const air = moistAir({ temperatureK: 293.15, stationPressurePa: 101325, relativeHumidity: 0.5 });
    expect(air.enhancement).toBeCloseTo(1.0040256, 7);
    expect(air.vapourMoleFraction).toBeCloseTo(0.01158934, 8);
    expect(air.compressibility).toBeCloseTo(0.99961477, 8);
    expect(air.vapourPressurePa + air.dryPressurePa).toBe(101325);
  });

  test.each([
    // Source: CK-1.7 to 1.9: ideal mixture (R_d 287.058, R_v 461.495, WMO saturation) and its known distance from CIPM-2007.
    ['CK-1.7', 15, 101325, 0, 1.22498, 4.4e-4],
    ['CK-1.8', 20, 101325, 0.5, 1.198846, 3.9e-4],
    ['CK-1.9', 35, 98000, 0.6, 1.093493, 2.6e-4],
  ])('%s: the ideal mixture lies below by the known amount', (_id, celsius, stationPressurePa, relativeHumidity, mixture, share) => {
    const temperatureK = celsius + 273.15;
    const vapourPa = relativeHumidity * saturationPressurePa(temperatureK, 'wmo-8');
    const oracle = (stationPressurePa - vapourPa) / (287.058 * temperatureK) + vapourPa / (461.495 * temperatureK);
    expect(Math.abs(oracle - mixture)).toBeLessThanOrEqual(5e-5);
    const density = airDensity({ temperatureK, stationPressurePa, relativeHumidity });
    expect(density / oracle - 1).toBeGreaterThan(share - 5e-5);
    expect(density / oracle - 1).toBeLessThan(share + 5e-5);
  });

  test('sea-level pressure used at 1500 m makes density 20 % too high', () => {
    // Source: CK-1.25: CIPM 1.1787 against 0.9827 kg/m³ at 25 °C, 40 %.
    expect(airDensity({ temperatureK: 298.15, stationPressurePa: 101325, relativeHumidity: 0.4 })).toBeCloseTo(1.1787, 4);
    expect(airDensity({ temperatureK: 298.15, stationPressurePa: 84555.99, relativeHumidity: 0.4 })).toBeCloseTo(0.9827, 4);
  });

  test('falls with temperature and humidity, rises with pressure', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 260, max: 320, noNaN: true }),
        fc.double({ min: 60e3, max: 105e3, noNaN: true }),
        fc.double({ min: 0, max: 0.9, noNaN: true }),
        (temperatureK, stationPressurePa, relativeHumidity) => {
          const at = (t: number, p: number, h: number) => airDensity({ temperatureK: t, stationPressurePa: p, relativeHumidity: h });
          const density = at(temperatureK, stationPressurePa, relativeHumidity);
          return (
            at(temperatureK + 1, stationPressurePa, relativeHumidity) < density &&
            at(temperatureK, stationPressurePa + 100, relativeHumidity) > density &&
            at(temperatureK, stationPressurePa, relativeHumidity + 0.1) < density
          );
        },
      ),
      { seed: 7, numRuns: 200 },
    );
  });

  test.each([
    ['Celsius given as kelvin', { temperatureK: 22, stationPressurePa: 99e3, relativeHumidity: 0.4 }],
    ['kPa given as Pa', { temperatureK: 295, stationPressurePa: 99, relativeHumidity: 0.4 }],
    ['percent given as share', { temperatureK: 295, stationPressurePa: 99e3, relativeHumidity: 40 }],
    ['NaN', { temperatureK: Number.NaN, stationPressurePa: 99e3, relativeHumidity: 0.4 }],
  ])('refuses %s', (_name, air) => {
    expect(() => airDensity(air)).toThrow(expect.objectContaining({ code: 'E_AIR' }));
  });
});

describe('spread of the density', () => {
  const air = { temperatureK: 293.15, stationPressurePa: 101325, relativeHumidity: 0.5 };

  test('relative sensitivities near standard conditions', () => {
    // Source: CIPM-2007 (Picard et al. 2008) §4, from memory: 1e-5 per Pa, −4e-3 per K, −9e-3 per unit of humidity, rounded to one digit.
    const density = airDensity(air);
    const spread = airDensitySpread(air, { temperatureK: 1, stationPressurePa: 1, relativeHumidity: 1 });
    expect(spread.pressureKgPerM3 / density).toBeCloseTo(1e-5, 6);
    expect(spread.temperatureKgPerM3 / density).toBeCloseTo(-4e-3, 3);
    expect(spread.humidityKgPerM3 / density).toBeCloseTo(-9e-3, 3);
  });

  test('first order agrees with a Monte Carlo run', () => {
    // Source: JCGM 101: for a nearly linear model both give the same standard uncertainty; 40,000 draws hold it within 1.5 %.
    const spreads = { temperatureK: 1.5, stationPressurePa: 200, relativeHumidity: 0.1 };
    const linear = airDensitySpread(air, spreads).spreadKgPerM3;
    let state = 12345;
    const uniform = () => {
      state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
      return (state + 0.5) / 2 ** 32;
    };
    const normal = () => Math.sqrt(-2 * Math.log(uniform())) * Math.cos(2 * Math.PI * uniform());
    let sum = 0;
    let squares = 0;
    const draws = 40_000;
    for (let i = 0; i < draws; i++) {
      const deviation =
        airDensity({
          temperatureK: air.temperatureK + spreads.temperatureK * normal(),
          stationPressurePa: air.stationPressurePa + spreads.stationPressurePa * normal(),
          relativeHumidity: Math.min(1, Math.max(0, air.relativeHumidity + spreads.relativeHumidity * normal())),
        }) - airDensity(air);
      sum += deviation;
      squares += deviation ** 2;
    }
    const sampled = Math.sqrt((squares - sum ** 2 / draws) / (draws - 1));
    expect(Math.abs(sampled / linear - 1)).toBeLessThan(0.015);
  });

  test('is zero without input spreads and finite in saturated and in dry air', () => {
    expect(airDensitySpread(air, { temperatureK: 0, stationPressurePa: 0, relativeHumidity: 0 }).spreadKgPerM3).toBe(0);
    for (const relativeHumidity of [0, 1]) {
      const spread = airDensitySpread({ ...air, relativeHumidity }, { temperatureK: 1, stationPressurePa: 100, relativeHumidity: 0.05 });
      expect(spread.humidityKgPerM3).toBeLessThan(0);
    }
  });
});
