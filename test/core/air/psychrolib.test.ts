import { airDensity, dewPointK, moistAir, relativeHumidityFromDewPoint, saturationPressurePa } from '@pullproof/core';
// @ts-expect-error: the library brings no types.
import psychrolib from 'psychrolib';
import { expect, test } from 'vitest';

// Source: PsychroLib 2.5.0 (MIT), ASHRAE Handbook – Fundamentals 2017 ch. 1: an ideal-gas mixture with R_da 287.042 and Hyland–Wexler saturation.
psychrolib.SetUnitSystem(psychrolib.SI);

const grid: [celsius: number, stationPressurePa: number, relativeHumidity: number][] = [];
for (let celsius = 0; celsius <= 45; celsius += 5) {
  for (let stationPressurePa = 70e3; stationPressurePa <= 105e3; stationPressurePa += 5e3) {
    for (const relativeHumidity of [0, 0.2, 0.4, 0.6, 0.8, 1]) grid.push([celsius, stationPressurePa, relativeHumidity]);
  }
}

function reference(celsius: number, stationPressurePa: number, relativeHumidity: number): number {
  const ratio = relativeHumidity === 0 ? 0 : psychrolib.GetHumRatioFromRelHum(celsius, relativeHumidity, stationPressurePa);
  return psychrolib.GetMoistAirDensity(celsius, ratio, stationPressurePa);
}

test('CIPM-2007 lies above the ideal mixture by the known difference of the two formulas', () => {
  // Source: FORMULAS §1.2: 2 to 5e-4 between 10 and 45 °C, 6e-4 at 0 °C, for the ideal mixture; 1e-4 either side for the thinner and wetter air here.
  for (const [celsius, stationPressurePa, relativeHumidity] of grid) {
    const ours = airDensity({ temperatureK: celsius + 273.15, stationPressurePa, relativeHumidity });
    const excess = ours / reference(celsius, stationPressurePa, relativeHumidity) - 1;
    expect(excess, `${celsius} °C, ${stationPressurePa} Pa, ${relativeHumidity}`).toBeGreaterThan(0);
    expect(excess, `${celsius} °C, ${stationPressurePa} Pa, ${relativeHumidity}`).toBeLessThan(7e-4);
  }
});

test('with compressibility and enhancement taken out, the two agree within 0.01 %', () => {
  // What is left: molar mass of dry air (28.96546 against 28.966 g/mol) and the saturation formulas (0.02 % of vapour pressure).
  for (const [celsius, stationPressurePa, relativeHumidity] of grid) {
    const air = moistAir({ temperatureK: celsius + 273.15, stationPressurePa, relativeHumidity });
    const idealised =
      (air.densityKgPerM3 * air.compressibility * (1 - (air.vapourMoleFraction / air.enhancement) * 0.37804)) /
      (1 - air.vapourMoleFraction * 0.37804);
    expect(Math.abs(idealised / reference(celsius, stationPressurePa, relativeHumidity) - 1)).toBeLessThan(1e-4);
  }
});

test('saturation pressure and dew point agree over the grid', () => {
  for (let celsius = 1; celsius <= 45; celsius++) {
    const temperatureK = celsius + 273.15;
    expect(Math.abs(saturationPressurePa(temperatureK, 'hyland-wexler-1983') / psychrolib.GetSatVapPres(celsius) - 1)).toBeLessThan(1e-9);
    expect(Math.abs(saturationPressurePa(temperatureK) / psychrolib.GetSatVapPres(celsius) - 1)).toBeLessThan(3e-4);
    for (const humidity of [0.3, 0.6, 0.9]) {
      // Magnus is 0.3 % low in pressure at most, so 0.05 K of dew point.
      const theirs = psychrolib.GetTDewPointFromRelHum(celsius, humidity);
      if (theirs > 0.1) {
        expect(Math.abs(dewPointK(temperatureK, humidity) - 273.15 - theirs)).toBeLessThan(0.05);
        expect(Math.abs(relativeHumidityFromDewPoint(temperatureK, theirs + 273.15) - humidity)).toBeLessThan(0.003);
      }
    }
  }
});
