import { describe, expect, test } from 'vitest';
import {
  airFuelRatio,
  blendStoichAfr,
  combineBanks,
  consumptionFromPoundsPerHorsepowerHour,
  gaugeFromLambda,
  injectorDutyOf,
  injectorFlowAtPressure,
  injectorVolumeFlowM3PerS,
  lambdaFromGauge,
  massFlowFromPoundsPerHour,
  powerFromFuel,
  stoichAfrOfFormula,
} from '../../../packages/core/src/fuel/index.js';
import { lambdaFromPumpCurrent } from '../../../packages/core/src/sensors/index.js';

describe('stoichiometry', () => {
  // Source: FORMULAS.md CK-6.1 to CK-6.5, computed; DOE AFDC prints ethanol 9, methanol 6.45, petrol 14.7 "calculated"; textbooks methane 17.2.
  test.each<[string, number, number, number, number, number]>([
    ['CK-6.1 iso-octane', 8, 18, 0, 15.126, 0.01],
    ['CK-6.2 ethanol', 2, 6, 1, 9.002, 0.01],
    ['CK-6.3 methanol', 1, 4, 1, 6.45, 0.03],
    ['CK-6.4 petrol CH1.85', 1, 1.85, 0, 14.57, 0.01],
    ['CK-6.4 petrol CH1.87', 1, 1.87, 0, 14.598, 0.01],
    ['CK-6.5 methane', 1, 4, 0, 17.2, 0.05],
    ['CK-6.5 toluene', 7, 8, 0, 13.502, 0.01],
  ])('%s', (_, carbon, hydrogen, oxygen, expected, tolerance) => {
    expect(Math.abs(stoichAfrOfFormula({ carbon, hydrogen, oxygen }) - expected)).toBeLessThan(tolerance);
  });

  // Source: FORMULAS.md CK-6.6, computed from DOE AFDC densities and ratios.
  test.each([
    [0.1, 14.011, 14.1],
    [0.15, 13.718, 13.803],
    [0.2, 13.428, 13.507],
    [0.5, 11.72, Number.NaN],
    [0.7, 10.613, 10.643],
    [0.85, 9.8, 9.816],
  ])('CK-6.6: ethanol share %d', (share, of146, of147) => {
    expect(Math.abs(blendStoichAfr(share) - of146)).toBeLessThan(0.005);
    if (Number.isFinite(of147)) expect(Math.abs(blendStoichAfr(share, { petrolStoichAfr: 14.7 }) - of147)).toBeLessThan(0.005);
  });

  test('CK-6.7: DOE’s two heating values a fuel give its density', () => {
    // Source: DOE AFDC: petrol 116,090 Btu/gal and 18,676 Btu/lb, ethanol 76,330 and 11,585.
    const densityKgPerL = (btuPerGallon: number, btuPerPound: number): number => ((btuPerGallon / btuPerPound) * 0.45359237) / 3.785411784;
    expect(densityKgPerL(116090, 18676)).toBeCloseTo(0.7448, 4);
    expect(densityKgPerL(76330, 11585)).toBeCloseTo(0.7895, 4);
  });

  test('what burns nothing is refused', () => {
    expect(() => stoichAfrOfFormula({ carbon: 1, hydrogen: 0, oxygen: 2 })).toThrow('E_FUEL_FORMULA');
    expect(() => blendStoichAfr(10)).toThrow('E_SHARE');
  });
});

describe('gauge scale', () => {
  test('14.7 on a gauge is lambda 1 on any fuel, and 9.8 parts of air on E85', () => {
    expect(lambdaFromGauge(14.7, 14.7)).toBe(1);
    expect(airFuelRatio(lambdaFromGauge(14.7, 14.7), blendStoichAfr(0.85))).toBeCloseTo(9.8, 2);
    expect(gaugeFromLambda(lambdaFromGauge(12.4, 14.1), 14.1)).toBeCloseTo(12.4, 12);
    expect(() => lambdaFromGauge(12, 0.8)).toThrow('E_GAUGE_SCALE');
  });

  test('banks are taken together row by row, missing ones left out', () => {
    const combined = combineBanks([Float64Array.of(0.8, 0.82, Number.NaN), Float64Array.of(0.84, 0.86, 0.9)]);
    expect(combined.lambda[0]).toBeCloseTo(0.82, 12);
    expect(combined.lambda[2]).toBe(0.9);
    expect(combined.leanest).toEqual(Float64Array.of(0.84, 0.86, 0.9));
    expect(combined.offsets[1]).toBeCloseTo(0.02, 12);
    expect(() => combineBanks([])).toThrow('E_LENGTHS');
  });

  test('CK-6.8: pump current of an LSU 4.9', () => {
    // Source: Bosch Motorsport, LSU 4.9 datasheet, published pairs; tolerance 1 %.
    for (const [milliamp, lambda] of [
      [0.329, 1.179],
      [0.671, 1.429],
      [0.938, 1.701],
      [1.15, 1.99],
      [1.385, 2.434],
    ] as const) {
      expect(lambdaFromPumpCurrent(milliamp / 1000)).toBeCloseTo(lambda, 9);
    }
    // Half way in current between two pairs, half way in 1/lambda: 2/(1/1.179 + 1/1.429).
    expect(lambdaFromPumpCurrent(0.5e-3)).toBeCloseTo(1.292, 3);
    expect(lambdaFromPumpCurrent(-0.1e-3)).toBeNaN();
    expect(lambdaFromPumpCurrent(2e-3)).toBeNaN();
  });
});

describe('injectors', () => {
  // Source: FORMULAS.md CK-6.11, computed; densities from Bosch Motorsport injector notes.
  test.each([
    [684, 11.0524],
    [720, 10.4998],
    [744, 10.1611],
    [780, 9.6921],
  ])('CK-6.11: one pound an hour at %d kg/m³', (density, ccPerMinute) => {
    expect(injectorVolumeFlowM3PerS(massFlowFromPoundsPerHour(1), density) * 60e6).toBeCloseTo(ccPerMinute, 4);
  });

  test('CK-6.12: flow with the root of pressure', () => {
    // Source: Bosch Motorsport injector notes; FORMULAS.md CK-6.12.
    expect(injectorFlowAtPressure(1, 3, 4)).toBeCloseTo(1.1547005, 7);
    expect(injectorFlowAtPressure(440, 3e5, 4e5)).toBeCloseTo(508.07, 2);
    expect(injectorFlowAtPressure(1, 3e5, 2e5)).toBeCloseTo(0.8165, 4);
    expect(() => injectorFlowAtPressure(1, 3e5, 0)).toThrow('E_PRESSURE');
  });

  test('CK-6.13 and CK-6.14: duty and fuel for power', () => {
    // Source: FORMULAS.md CK-6.13 (arithmetic) and CK-6.14 (unit definitions).
    expect(injectorDutyOf(0.015, 6500)).toBeCloseTo(0.8125, 12);
    expect(consumptionFromPoundsPerHorsepowerHour(0.5) * 3.6e9).toBeCloseTo(304.139, 3);
    expect(consumptionFromPoundsPerHorsepowerHour(0.6) * 3.6e9).toBeCloseTo(364.966, 3);
    // Source: FORMULAS.md, cross-check of CK-6.15: 0.036492 kg/s at 320 g/kWh is 410.5 kW.
    expect(powerFromFuel(0.036492, 320 / 3.6e9) / 1000).toBeCloseTo(410.5, 1);
  });
});
