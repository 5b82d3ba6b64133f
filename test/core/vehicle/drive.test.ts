import { defaultRotatingFactor, nearestGear, rotatingFactor, rpmPerMps, tyreFromSize } from '@pullproof/core';
import { describe, expect, test } from 'vitest';

describe('tyre size', () => {
  test.each([
    // Source: arithmetic of the size's marking: rim in inches, width in mm, height in percent of width; 3.05 × diameter from memory.
    ['245/45R17', 0.245, 0.45, 17, 0.6523],
    ['205/55R16', 0.205, 0.55, 16, 0.6319],
    ['195/65R15', 0.195, 0.65, 15, 0.6345],
    ['P275/40ZR20 106Y', 0.275, 0.4, 20, 0.728],
    ['lt245/75 r 16', 0.245, 0.75, 16, 0.7739],
    ['225/45RF17 (91W)', 0.225, 0.45, 17, 0.6343],
    ['235/65R16C', 0.235, 0.65, 16, 0.7119],
  ])('%s', (size, widthM, aspectRatio, rimIn, freeDiameterM) => {
    const tyre = tyreFromSize(size);
    expect(tyre.widthM).toBe(widthM);
    expect(tyre.aspectRatio).toBe(aspectRatio);
    expect(tyre.rimDiameterM).toBeCloseTo(rimIn * 0.0254, 12);
    expect(2 * tyre.freeRadiusM).toBeCloseTo(freeDiameterM, 9);
    expect((2 * Math.PI * tyre.rollingRadiusM) / freeDiameterM).toBeCloseTo(3.05, 9);
    expect(tyre.rollingRadiusM).toBeLessThan(tyre.freeRadiusM);
    expect(tyre.rollingRadiusSpreadM / tyre.rollingRadiusM).toBeCloseTo(0.0115, 9);
  });

  test('195/65R15 rolls about 1.935 m in one turn', () => {
    // Source: rolling circumference as tyre tables print it, from memory; 0.5 %.
    expect(Math.abs((2 * Math.PI * tyreFromSize('195/65R15').rollingRadiusM) / 1.935 - 1)).toBeLessThan(0.005);
  });

  test.each([
    '',
    '17',
    '245-45-17',
    '245/45-17',
    '31x10.50R15',
    '28x9-15',
    '24/45R17',
    '245/4R17',
    '245/45R99',
    '245/45R17foo',
    'NaN/NaNRNaN',
  ])('refuses "%s"', (size) => {
    expect(() => tyreFromSize(size)).toThrow(expect.objectContaining({ code: 'E_TYRE' }));
  });
});

describe('gearing', () => {
  const gearing = { gearRatios: [3.32, 2.08, 1.43, 1, 0.76], finalDrive: 3.73, tyreRadiusM: 0.318 };

  test('engine speed per road speed', () => {
    // Source: arithmetic: one m/s turns a wheel of 0.318 m radius 30.03 times a minute.
    expect(rpmPerMps(gearing, 4)).toBeCloseTo(3.73 * 30.0292, 2);
    expect(rpmPerMps(gearing, 1) / rpmPerMps(gearing, 4)).toBeCloseTo(3.32, 12);
  });

  test('every gear is found again, up to the tolerance and not beyond', () => {
    for (let gear = 1; gear <= 5; gear++) {
      for (const deviation of [-0.03, 0, 0.03]) {
        const match = nearestGear(rpmPerMps(gearing, gear) * (1 + deviation), gearing);
        expect(match?.gear).toBe(gear);
        expect(match?.deviation).toBeCloseTo(deviation, 12);
      }
      expect(nearestGear(rpmPerMps(gearing, gear) * 1.06, gearing)).toBeNull();
      expect(nearestGear(rpmPerMps(gearing, gear) * 1.06, gearing, { tolerance: 0.08 })?.gear).toBe(gear);
    }
  });

  test('two gears within the tolerance are no answer, nor is NaN or standing still', () => {
    const close = { ...gearing, gearRatios: [1.04, 1] };
    expect(nearestGear(rpmPerMps(close, 2) * 1.02, close)).toBeNull();
    expect(nearestGear(rpmPerMps(close, 2), close, { tolerance: 0.01 })?.gear).toBe(2);
    for (const value of [Number.NaN, 0, -100, Number.POSITIVE_INFINITY]) expect(nearestGear(value, gearing)).toBeNull();
  });

  test.each([
    ['a gear that is not there', () => rpmPerMps(gearing, 6)],
    ['gear 0', () => rpmPerMps(gearing, 0)],
    ['a radius of 0', () => rpmPerMps({ ...gearing, tyreRadiusM: 0 }, 1)],
    ['a final drive of NaN', () => nearestGear(100, { ...gearing, finalDrive: Number.NaN })],
    ['a ratio of NaN', () => nearestGear(100, { ...gearing, gearRatios: [Number.NaN] })],
  ])('refuses %s', (_name, call) => {
    expect(call).toThrow(expect.objectContaining({ code: 'E_GEAR' }));
  });
});

describe('rotating mass', () => {
  test.each([
    // Source: CK-3.4, arithmetic of Gillespie's and Wong's 1 + 0.04 + 0.0025 N².
    [3.5, 1.070625],
    [4.1, 1.082025],
    [8, 1.2],
    [10, 1.29],
    [14, 1.53],
  ])('CK-3.4: default at %s', (overallRatio, expected) => {
    const factor = defaultRotatingFactor(overallRatio);
    expect(Math.abs(factor.value - expected)).toBeLessThanOrEqual(1e-9);
    expect(factor.standing).toBe('assumed');
    expect(factor.spread).toBeGreaterThan(0);
    expect(factor.source).toContain('Gillespie');
  });

  test.each([
    // Source: CK-3.5, computed independently: m 1600 kg, wheels 4.8, engine 0.20 kg m², r 0.32 m, N 3.73 and 11.0781.
    [1, 1.04628],
    [2.97, 1.179107],
  ])('CK-3.5: from inertias, gear ratio %s', (gearRatio, expected) => {
    const factor = rotatingFactor(1600, { wheelsKgM2: 4.8, engineKgM2: 0.2 }, { gearRatio, finalDrive: 3.73, tyreRadiusM: 0.32 });
    expect(Math.abs(factor - expected)).toBeLessThanOrEqual(1e-6);
  });

  test('inertia adds what its energy says', () => {
    // Source: identity: ½ m k_r v² is the energy of the car and all that spins in it.
    const drive = { gearRatio: 2.08, finalDrive: 3.73, tyreRadiusM: 0.318 };
    const parts = { wheelsKgM2: 4.6, engineKgM2: 0.24, shaftKgM2: 0.05 };
    const wheel = 20 / drive.tyreRadiusM;
    const energy =
      0.5 *
      (1600 * 20 ** 2 +
        parts.wheelsKgM2 * wheel ** 2 +
        parts.shaftKgM2 * (wheel * 3.73) ** 2 +
        parts.engineKgM2 * (wheel * 3.73 * 2.08) ** 2);
    expect(0.5 * 1600 * rotatingFactor(1600, parts, drive) * 20 ** 2).toBeCloseTo(energy, 6);
  });

  test('the default spread covers the light flywheel of CK-3.5', () => {
    for (const [gearRatio, explicit] of [
      [1, 1.04628],
      [2.97, 1.179107],
    ] as const) {
      const { value, spread } = defaultRotatingFactor(gearRatio * 3.73);
      expect(Math.abs(value - explicit)).toBeLessThan(2 * spread);
    }
  });

  const drive = { gearRatio: 1, finalDrive: 3.73, tyreRadiusM: 0.32 };
  test.each([
    ['no mass', () => rotatingFactor(0, { wheelsKgM2: 4.8, engineKgM2: 0.2 }, drive)],
    ['a negative inertia', () => rotatingFactor(1600, { wheelsKgM2: -1, engineKgM2: 0.2 }, drive)],
    ['NaN', () => rotatingFactor(1600, { wheelsKgM2: 4.8, engineKgM2: Number.NaN }, drive)],
    ['a ratio of NaN', () => defaultRotatingFactor(Number.NaN)],
  ])('refuses %s', (_name, call) => {
    expect(call).toThrow(expect.objectContaining({ code: 'E_ROTATING' }));
  });
});
