import { dewPointK, relativeHumidityFromDewPoint, type SaturationFormula, saturationPressurePa } from '@pullproof/core';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';

describe('saturation pressure', () => {
  test.each([
    // Source: CK-1.10, ASHRAE Handbook – Fundamentals 2017, ch. 1 table, as used in a public psychrometrics library's tests; 3e-4 relative.
    [5, 872.6],
    [25, 3169.7],
    [50, 12351.3],
  ])('CK-1.10: %s °C is %s Pa', (celsius, table) => {
    expect(Math.abs(saturationPressurePa(celsius + 273.15, 'hyland-wexler-1983') / table - 1)).toBeLessThan(3e-4);
    // CIPM is certain up to 30 °C; at 50 °C it still lies within 0.02 % of the table.
    expect(Math.abs(saturationPressurePa(celsius + 273.15) / table - 1)).toBeLessThan(5e-4);
  });

  test.each<[SaturationFormula, number, number]>([
    // Source: CK-1.11 (20 °C) and CK-1.12 (0 °C), computed independently in Python.
    ['cipm-2007', 2339.16, 611.21],
    ['hyland-wexler-1983', 2338.8, 611.21],
    ['buck-1996', 2338.34, 611.21],
    ['wmo-8', 2332.6, 611.2],
  ])('CK-1.11, 1.12: %s', (formula, at20, at0) => {
    expect(Math.abs(saturationPressurePa(293.15, formula) - at20)).toBeLessThanOrEqual(0.02);
    expect(Math.abs(saturationPressurePa(273.15, formula) - at0)).toBeLessThanOrEqual(0.02);
  });

  test('refuses Celsius given as kelvin, and NaN', () => {
    for (const value of [20, Number.NaN]) expect(() => saturationPressurePa(value)).toThrow(expect.objectContaining({ code: 'E_AIR' }));
  });
});

describe('dew point', () => {
  test.each([
    // Source: CK-1.13, 1.14: Magnus form of WMO-No. 8 annex 4.B, computed independently.
    [20, 0.5, 9.2552],
    [30, 0.6, 21.3854],
  ])('CK-1.13, 1.14: %s °C at %s', (celsius, humidity, dewPoint) => {
    expect(Math.abs(dewPointK(celsius + 273.15, humidity) - 273.15 - dewPoint)).toBeLessThanOrEqual(1e-3);
  });

  test('CK-1.15: 30 °C with a dew point of 20 °C', () => {
    // Source: CK-1.15, computed independently.
    expect(Math.abs(relativeHumidityFromDewPoint(303.15, 293.15) - 0.55096)).toBeLessThanOrEqual(1e-4);
  });

  test('CK-1.16: saturated air is at its dew point, and the two are inverse', () => {
    // Source: CK-1.16, identity.
    expect(Math.abs(dewPointK(293.15, 1) - 293.15)).toBeLessThanOrEqual(1e-9);
    fc.assert(
      fc.property(
        fc.double({ min: 255, max: 325, noNaN: true }),
        fc.double({ min: 0.05, max: 1, noNaN: true }),
        (temperatureK, humidity) => {
          return Math.abs(relativeHumidityFromDewPoint(temperatureK, dewPointK(temperatureK, humidity)) - humidity) < 1e-9;
        },
      ),
      { seed: 3, numRuns: 200 },
    );
  });

  test.each([
    ['dry air', () => dewPointK(293.15, 0)],
    ['percent', () => dewPointK(293.15, 50)],
    ['NaN', () => dewPointK(293.15, Number.NaN)],
    ['a dew point above the air', () => relativeHumidityFromDewPoint(293.15, 294)],
    ['a dew point in Celsius', () => relativeHumidityFromDewPoint(293.15, 10)],
  ])('refuses %s', (_name, call) => {
    expect(call).toThrow(expect.objectContaining({ code: 'E_AIR' }));
  });
});
