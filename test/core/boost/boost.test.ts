import { describe, expect, test } from 'vitest';
import {
  type BlowerOnEngine,
  blowerDrivePowerW,
  blowerDriveRatio,
  blowerOutletTemperatureK,
  boostPa,
  cooledTemperatureK,
  densityRatio,
  expectedAfterPulleyChange,
  expectedPressureRatio,
  pressureRatioOf,
  rootsEfficiencyLimit,
  rotorSpeedLimit,
  rotorSpeedRpm,
} from '../../../packages/core/src/boost/index.js';

describe('charge air', () => {
  // Source: FORMULAS.md CK-7.1 to CK-7.4, computed with κ 1.4.
  test.each([
    ['CK-7.1', 298.15, 1.5, 0.6, 359.183, 1.24512],
    ['CK-7.2', 298.15, 1.8, 0.6, 389.018, 1.37955],
    ['CK-7.3', 298.15, 2.0, 0.7, 391.434, 1.52337],
    ['CK-7.4', 300, 2.0, 1.0, 365.704, Number.NaN],
  ])('%s', (_, inletK, ratio, efficiency, outletK, density) => {
    const found = blowerOutletTemperatureK(inletK, ratio, efficiency);
    expect(Math.abs(found - outletK)).toBeLessThan(1e-3);
    if (Number.isFinite(density)) expect(densityRatio(ratio, inletK, found)).toBeCloseTo(density, 5);
  });

  test('CK-7.2 and CK-7.9: drive power', () => {
    // Source: FORMULAS.md CK-7.2 (91.323 kW for each kg/s) and CK-7.9 (38.92 kW = 52.19 hp before mechanical loss).
    const outletK = blowerOutletTemperatureK(298.15, 1.8, 0.6);
    expect(blowerDrivePowerW(1, 298.15, outletK) / 1000).toBeCloseTo(91.323, 3);
    const power = blowerDrivePowerW(0.4262, 298.15, outletK);
    expect(Math.abs(power / 1000 - 38.92)).toBeLessThan(0.02);
    expect(Math.abs(power / 745.6998715822702 - 52.19)).toBeLessThan(0.02);
  });

  test('CK-7.5: a cooler, with and without pressure loss', () => {
    // Source: FORMULAS.md CK-7.5.
    const cooled = cooledTemperatureK(blowerOutletTemperatureK(298.15, 1.8, 0.6), 298.15, 0.7);
    expect(Math.abs(cooled - 325.411)).toBeLessThan(1e-3);
    expect(Math.abs(densityRatio(1.8, 298.15, cooled) - 1.64921)).toBeLessThan(1e-4);
    expect(Math.abs(densityRatio(1.8 - 0.05, 298.15, cooled) - 1.6034)).toBeLessThan(1e-4);
  });

  // Source: FORMULAS.md CK-7.6.
  test.each([
    [1.5, 0.85977],
    [1.8, 0.800032],
    [2.0, 0.766548],
  ])('CK-7.6: Roots limit at %d', (ratio, limit) => {
    expect(Math.abs(rootsEfficiencyLimit(ratio) - limit)).toBeLessThan(1e-6);
    expect(rootsEfficiencyLimit(1 + 1e-9)).toBeCloseTo(1, 6);
  });

  test('what no blower does is refused', () => {
    expect(() => blowerOutletTemperatureK(300, 0.8, 0.6)).toThrow('E_BLOWER');
    expect(() => blowerOutletTemperatureK(300, 1.5, 60)).toThrow('E_BLOWER');
  });
});

describe('drive', () => {
  // Source: FORMULAS.md CK-7.7, arithmetic: crank 6.5 in, at 6,500 rpm.
  test.each([
    [3.6, 1.80556, 11736.1],
    [3.4, 1.91176, 12426.5],
    [3.2, 2.03125, 13203.1],
    [3.0, 2.16667, 14083.3],
    [2.8, 2.32143, 15089.3],
  ])('CK-7.7: a %d in pulley', (inches, ratio, rpm) => {
    const found = blowerDriveRatio(6.5 * 0.0254, inches * 0.0254);
    expect(found).toBeCloseTo(ratio, 5);
    expect(Math.abs(rotorSpeedRpm(6500, found) - rpm)).toBeLessThan(0.1);
  });

  test('the blower’s limit is held against the redline', () => {
    const within = rotorSpeedLimit(2, { maxRotorSpeedRpm: 16000, redlineRpm: 6700 });
    expect(within).toEqual({ highestEngineSpeedRpm: 8000, findings: [] });
    const beyond = rotorSpeedLimit(2.5, { maxRotorSpeedRpm: 16000, redlineRpm: 6700 });
    expect(beyond.findings[0]).toMatchObject({ code: 'W_ROTOR_SPEED_AT_REDLINE' });
    expect(beyond.findings[0]!.fix).toContain('6,400 rpm');
    expect(rotorSpeedRpm(6000, 2, { beltSlip: 0.05 })).toBe(11400);
    expect(() => blowerDriveRatio(0.15, 0)).toThrow('E_PULLEY');
  });
});

describe('expectedPressureRatio', () => {
  const blower: BlowerOnEngine = {
    blowerDisplacementM3: 0.00184,
    engineDisplacementM3: 0.0046,
    driveRatio: 2,
    volumetricEfficiency: 0.85,
    blowerVolumetricEfficiency: 0.88,
    adiabaticEfficiency: 0.6,
    inletTemperatureK: 298.15,
  };
  const cooler = { effectiveness: 0.7, coolantTemperatureK: 305 };

  // Source: FORMULAS.md CK-7.8, fixed point; the second ratios are its own.
  test.each([
    ['no cooler', 2, null, 2.4705, 444.7],
    ['cooler', 2, cooler, 1.8409, 331.3],
    ['no cooler, ten percent faster', 2.2, null, 2.9031, Number.NaN],
    ['cooler, ten percent faster', 2.2, cooler, 2.0604, Number.NaN],
  ])('CK-7.8: %s', (_, driveRatio, withCooler, ratio, chargeK) => {
    const found = expectedPressureRatio({ ...blower, driveRatio, cooler: withCooler });
    expect(Math.abs(found.pressureRatio - ratio)).toBeLessThan(1e-3);
    if (Number.isFinite(chargeK)) expect(Math.abs(found.chargeTemperatureK - chargeK)).toBeLessThan(0.1);
    expect(found.residual).toBeLessThan(1e-9);
    expect(found.iterations).toBeLessThan(20);
  });

  test('the solution balances blower and engine', () => {
    const found = expectedPressureRatio({ ...blower, cooler });
    const delivered = (2 * 0.00184 * 2 * 0.88) / (0.0046 * 0.85);
    expect(found.pressureRatio / ((delivered * found.chargeTemperatureK) / 298.15)).toBeCloseTo(1, 9);
  });

  test('a pulley change, the unknown efficiencies taken from what was measured before', () => {
    const before = expectedPressureRatio(blower);
    const after = expectedAfterPulleyChange({
      pressureRatio: before.pressureRatio,
      chargeTemperatureK: before.chargeTemperatureK,
      inletTemperatureK: 298.15,
      driveRatioBefore: 2,
      driveRatioAfter: 2.2,
      adiabaticEfficiency: 0.6,
    });
    // Source: FORMULAS.md CK-7.8: without a cooler ten percent more ratio gives 17.5 % more pressure ratio, not ten.
    expect(after.expected.pressureRatio / before.pressureRatio).toBeCloseTo(1.175, 3);
    expect(after.withoutHeat / before.pressureRatio).toBeCloseTo(1.1, 12);
  });

  test('a blower that delivers less than the engine draws makes no pressure, and a runaway is refused', () => {
    expect(expectedPressureRatio({ ...blower, driveRatio: 0.5 }).pressureRatio).toBe(1);
    expect(() => expectedPressureRatio({ ...blower, driveRatio: 20, adiabaticEfficiency: 0.05 })).toThrow('E_BEYOND_MODEL');
    expect(() => expectedPressureRatio({ ...blower, driveRatio: -1 })).toThrow('E_BLOWER');
  });
});

test('boost and pressure ratio count from the weather of the place, or from the blower’s inlet', () => {
  const manifold = Float64Array.of(200000, 84000, Number.NaN);
  // Source: FORMULAS.md CK-5.8: 200 kPa absolute is 16.82 psi above 84 kPa.
  expect(boostPa(manifold, 84000)[0]! / 6894.757293168361).toBeCloseTo(16.82, 2);
  expect(boostPa(manifold, 84000)[1]).toBe(0);
  expect(boostPa(manifold, 84000)[2]).toBeNaN();
  expect(pressureRatioOf(manifold, 100000)[0]).toBe(2);
  expect(pressureRatioOf(manifold, Float64Array.of(95000, 0, 1))[0]).toBeCloseTo(2.10526, 5);
  expect(pressureRatioOf(manifold, Float64Array.of(95000, 0, 1))[1]).toBeNaN();
  expect(() => boostPa(manifold, 0)).toThrow('E_STATION_PRESSURE');
  expect(() => pressureRatioOf(manifold, new Float64Array(1))).toThrow('E_LENGTHS');
});
