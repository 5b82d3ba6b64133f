import {
  airDensity,
  convert,
  densityAltitudeM,
  geopotentialFromGeometric,
  pressureAltitudeM,
  reducedPressureFinding,
  relativeHumidityFromDewPoint,
  standardAtmosphere,
  stationPressureFromAltimeter,
} from '@pullproof/core';
import { describe, expect, test } from 'vitest';

describe('standard atmosphere', () => {
  test.each([
    // Source: CK-1.17: U.S. Standard Atmosphere 1976, computed independently; the geometric columns match the printed Table I (from memory).
    [0, 101325, 1.225, 101325, 1.225],
    [500, 95460.84, 1.16727, 95461.3, 1.16727],
    [1000, 89874.56, 1.11164, 89876.3, 1.11166],
    [1500, 84555.99, 1.05807, 84559.7, 1.0581],
    [2000, 79495.2, 1.00649, 79501.4, 1.00655],
    [3000, 70108.53, 0.90912, 70121.1, 0.90925],
  ])('CK-1.17: %s m', (altitudeM, pressurePa, density, geometricPressurePa, geometricDensity) => {
    const level = standardAtmosphere(altitudeM);
    expect(Math.abs(level.pressurePa - pressurePa)).toBeLessThanOrEqual(1);
    expect(Math.abs(level.densityKgPerM3 - density)).toBeLessThanOrEqual(1e-5);
    const above = standardAtmosphere(geopotentialFromGeometric(altitudeM));
    expect(Math.abs(above.pressurePa - geometricPressurePa)).toBeLessThanOrEqual(1);
    expect(Math.abs(above.densityKgPerM3 - geometricDensity)).toBeLessThanOrEqual(1e-5);
    expect(Math.abs(pressureAltitudeM(level.pressurePa) - altitudeM)).toBeLessThan(1e-6);
    expect(Math.abs(densityAltitudeM(level.densityKgPerM3) - altitudeM)).toBeLessThan(1e-6);
  });

  test.each([
    // Source: CK-1.18: ASHRAE/NASA table (reprints at engineersedge.com, engineeringtoolbox.com), 0.05 %.
    [5000, 12.23],
    [10000, 10.11],
  ])('CK-1.18: %s ft is %s psia', (feet, psi) => {
    const pressurePa = standardAtmosphere(geopotentialFromGeometric(convert(feet, 'ft', 'm'))).pressurePa;
    expect(Math.abs(convert(pressurePa, 'Pa', 'psi') / psi - 1)).toBeLessThan(5e-4);
  });

  test('CK-1.19: pressure altitude of 900 hPa', () => {
    // Source: CK-1.19, computed independently.
    expect(Math.abs(pressureAltitudeM(90000) - 988.5)).toBeLessThanOrEqual(0.1);
  });

  test('CK-1.20: density altitude of 30 °C, dew point 15 °C, 840 hPa', () => {
    // Source: CK-1.20: 8159.3 ft from the CIPM density 0.958129, computed independently; the weather service's sheet, 145442.16·[1 − (17.326 p/T_v)^0.235], gives 8184.0 ft.
    const temperatureK = 303.15;
    const relativeHumidity = relativeHumidityFromDewPoint(temperatureK, 288.15);
    const density = airDensity({ temperatureK, stationPressurePa: 84000, relativeHumidity });
    expect(Math.abs(density - 0.958129)).toBeLessThan(1e-5);
    const feet = convert(densityAltitudeM(density), 'm', 'ft');
    expect(Math.abs(feet - 8159.3)).toBeLessThanOrEqual(2);
    const vapourHPa = 6.11 * 10 ** ((7.5 * 15) / (237.7 + 15));
    const virtualR = (1.8 * temperatureK) / (1 - (vapourHPa / 840) * (1 - 0.622));
    const sheet = 145442.16 * (1 - ((17.326 * convert(840, 'hPa', 'inHg')) / virtualR) ** 0.235);
    expect(Math.abs(sheet - 8184)).toBeLessThanOrEqual(2);
    expect(Math.abs(feet - sheet)).toBeLessThan(30);
  });

  test('CK-1.21: standard air has no density altitude', () => {
    // Source: CK-1.21, 20 ft.
    const density = airDensity({ temperatureK: 288.15, stationPressurePa: 101325, relativeHumidity: 0 });
    expect(Math.abs(convert(densityAltitudeM(density), 'm', 'ft'))).toBeLessThanOrEqual(20);
    expect(densityAltitudeM(standardAtmosphere(0).densityKgPerM3)).toBeCloseTo(0, 9);
  });

  test.each([
    ['feet for metres', () => standardAtmosphere(29000)],
    ['NaN', () => standardAtmosphere(Number.NaN)],
    ['a height out of range', () => geopotentialFromGeometric(-5000)],
    ['kPa for Pa', () => pressureAltitudeM(90)],
    ['density per litre', () => densityAltitudeM(0.0012)],
  ])('refuses %s', (_name, call) => {
    expect(call).toThrow(expect.objectContaining({ code: 'E_ALTITUDE' }));
  });
});

describe('station pressure from altimeter setting', () => {
  test.each([
    // Source: CK-1.22, 1.23: unit tests of MetPy's altimeter_to_station_pressure (Smithsonian Meteorological Tables 1951 p. 269), 0.01 hPa.
    [convert(29.8, 'inHg', 'hPa'), 500, 950.96498],
    [1013, 500, 954.639],
    [1000, 2000, 784.263],
  ])('CK-1.22, 1.23: %s hPa at %s m', (settingHPa, elevationM, expectedHPa) => {
    expect(
      Math.abs(stationPressureFromAltimeter(settingHPa * 100, elevationM, 'smithsonian-1951') / 100 - expectedHPa),
    ).toBeLessThanOrEqual(0.01);
  });

  test.each([
    // Source: CK-1.24: the standard atmosphere, computed independently, 0.01 hPa.
    [500, 954.608],
    [1000, 898.746],
    [1609.344, 834.276],
  ])('CK-1.24: 1013.25 hPa at %s m', (elevationM, expectedHPa) => {
    expect(Math.abs(stationPressureFromAltimeter(101325, elevationM) / 100 - expectedHPa)).toBeLessThanOrEqual(0.01);
  });

  test('at sea level the setting is the station pressure', () => {
    expect(stationPressureFromAltimeter(101860, 0)).toBeCloseTo(101860, 6);
  });

  test.each([
    // Source: U.S. automated surface observing system's algorithm as published (from memory): A = (p^0.1903 + 1.313e-5 h)^5.255, inHg and ft.
    [30.71, 495],
    [29.62, 495],
    [30.12, 5431],
    [29.4, 7100],
  ])('%s inHg at %s ft: as the airports reduce it, within 0.05 hPa', (settingInHg, feet) => {
    const reported = convert((settingInHg ** 0.1903 - 1.313e-5 * feet) ** (1 / 0.1903), 'inHg', 'hPa');
    const ours = stationPressureFromAltimeter(convert(settingInHg, 'inHg', 'Pa'), convert(feet, 'ft', 'm')) / 100;
    expect(Math.abs(ours - reported)).toBeLessThanOrEqual(0.05);
  });

  test('an altimeter set to A shows the elevation', () => {
    // Source: definition of the altimeter setting (ICAO): difference of two pressure altitudes.
    for (const settingPa of [97500, 101325, 104000]) {
      const stationPressurePa = stationPressureFromAltimeter(settingPa, 1200);
      expect(pressureAltitudeM(stationPressurePa) - pressureAltitudeM(settingPa)).toBeCloseTo(1200, 6);
    }
  });

  test.each([
    ['an inHg number as Pa', () => stationPressureFromAltimeter(29.92, 100), 'E_ALTIMETER'],
    ['NaN', () => stationPressureFromAltimeter(Number.NaN, 100), 'E_ALTIMETER'],
    ['an elevation of NaN', () => stationPressureFromAltimeter(101325, Number.NaN), 'E_ALTITUDE'],
  ])('refuses %s', (_name, call, code) => {
    expect(call).toThrow(expect.objectContaining({ code }));
  });

  test.each([
    // Source: FORMULAS §1.7: 1000–1030 hPa above 300 m is almost surely reduced to sea level; common practice, no source.
    [101325, 500, true],
    [100500, 600, true],
    [101325, 1500, true],
    [95500, 500, false],
    [97900, 500, false],
    [84500, 1500, false],
    [102500, 50, false],
  ])('%s Pa at %s m: reduced %s', (stationPressurePa, elevationM, reduced) => {
    expect(reducedPressureFinding(stationPressurePa, elevationM, {}) !== null).toBe(reduced);
  });

  test('the finding names the size of the error', () => {
    // Source: CK-1.25: +20 % of density at 1500 m.
    const finding = reducedPressureFinding(101325, 1500, { field: 'air.pressure' });
    expect(finding?.severity).toBe('warning');
    expect(finding?.message).toContain('20 % above');
    expect(finding?.where.field).toBe('air.pressure');
  });
});
