import { describe, expect, it } from 'vitest';
import { type Car, effectiveMassKg, moistAirDensity, roadLoadN, rpmPerMps } from '../../packages/simulation/src/index.js';

const car: Car = {
  massKg: 1600,
  dragAreaM2: 0.65,
  rollingCoefficient: 0.012,
  tyreRadiusM: 0.32,
  gearRatios: [2.97, 1],
  finalDrive: 3.73,
  wheelInertiaKgM2: 4.8,
  engineInertiaKgM2: 0.2,
  idleRpm: 800,
  engineBrakingNm: 40,
  slipPerWeight: 0,
};
const air = { airDensityKgPerM3: 1.18, headwindMps: 0, grade: 0 };

describe('car', () => {
  it('road load of a worked example', () => {
    // Source: worked from the balance of T. D. Gillespie, Fundamentals of Vehicle Dynamics (1992), chapter 4; done by hand:
    // drag 0.5·1.18·0.65·30² = 345.15 N, rolling 0.012·1600·9.80665 = 188.288 N.
    expect(roadLoadN(car, air, 30)).toBeCloseTo(345.15 + 188.288, 3);
    // 3 m/s of wind: 417.63 N against, 279.57 N from behind (drag 0.3835·v_air²).
    expect(roadLoadN(car, { ...air, headwindMps: 3 }, 30) - 188.288).toBeCloseTo(417.63, 1);
    expect(roadLoadN(car, { ...air, headwindMps: -3 }, 30) - 188.288).toBeCloseTo(279.57, 1);
    // 1 % uphill: 1600·9.80665·0.01/√1.0001 = 156.899 N.
    expect(roadLoadN({ ...car, rollingCoefficient: 0 }, { ...air, grade: 0.01 }, 0)).toBeCloseTo(156.899, 2);
  });

  it('effective mass counts every rotating part', () => {
    // By hand: (4.8 + 0.2·3.73²)/0.32² = 74.05 kg, 1.046280 of 1600 kg; first gear 11.0781: 1.179107.
    expect(effectiveMassKg(car, 2) / 1600).toBeCloseTo(1.04628, 6);
    expect(effectiveMassKg(car, 1) / 1600).toBeCloseTo(1.179107, 6);
    expect(effectiveMassKg(car, 0)).toBeCloseTo(1600 + 4.8 / 0.32 ** 2, 9);
  });

  it('engine speed for a road speed, and no gear that is not there', () => {
    // By hand: one turn of the wheel is 2π·0.32 m; at 2π·0.32 m/s the wheel makes 60 rpm, the engine 60·3.73.
    expect(rpmPerMps(car, 2) * 2 * Math.PI * 0.32).toBeCloseTo(60 * 3.73, 9);
    expect(() => rpmPerMps(car, 3)).toThrow(RangeError);
  });

  it('air density', () => {
    // Source: U.S. Standard Atmosphere 1976: 15 °C, 101325 Pa, dry: 1.2250 kg/m³.
    expect(moistAirDensity(288.15, 101325, 0)).toBeCloseTo(1.225, 3);
    // Source: CIPM-2007 at 20 °C, 101325 Pa, 50 %: 1.1993; the ideal mixture is 4e-4 low.
    expect(Math.abs(moistAirDensity(293.15, 101325, 0.5) / 1.1993 - 1)).toBeLessThan(6e-4);
  });
});
