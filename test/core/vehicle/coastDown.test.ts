import {
  type CoastDownCoefficients,
  coastDownForceN,
  coastDownFromRoadLoad,
  coastDownSpeedMps,
  coastDownTimeS,
  convert,
  roadLoad,
} from '@pullproof/core';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';

const MPH = 0.44704;

function fromImperial(lbf: number, lbfPerMph: number, lbfPerMph2: number): CoastDownCoefficients {
  return {
    constantN: convert(lbf, 'lbf', 'N'),
    linearNPerMps: convert(lbfPerMph, 'lbf/mph', 'N/(m/s)'),
    quadraticNPerMps2: convert(lbfPerMph2, 'lbf/mph^2', 'N/(m/s)^2'),
  };
}

// Source: CK-3.9 to 3.12: US EPA, OMEGA base-year table of model year 2019 (US government work): target coefficients and the road-load power at 50 mph printed beside them.
const published = [
  { id: 'CK-3.9', set: [27.6, 0.156, 0.01806], at50: 10.7, computed50: 10.74, at60: 16.316 },
  { id: 'CK-3.10', set: [40.94, 0.0169, 0.0271], at50: 14.6, computed50: 14.605, at60: 22.322 },
  { id: 'CK-3.11', set: [51.46511874, -0.260687329, 0.036235437], at50: 17.2, computed50: 17.203, at60: 26.603 },
  { id: 'CK-3.12', set: [51.706, 0.39797, 0.01863], at50: 15.8, computed50: 15.757, at60: 22.824 },
] as const;
const first = fromImperial(...published[0].set);
const heavy = fromImperial(...published[2].set);
const EFFECTIVE_KG = 1401.6;

describe('force of published coast-down sets', () => {
  test.each(published)('$id', ({ set, at50, computed50, at60 }) => {
    const [a, b, c] = set;
    const coefficients = fromImperial(a!, b!, c!);
    const powerHp = (mph: number) => convert(coastDownForceN(mph * MPH, coefficients) * mph * MPH, 'W', 'hp');
    expect(Math.abs(powerHp(50) - at50)).toBeLessThanOrEqual(0.05);
    expect(Math.abs(powerHp(50) - computed50)).toBeLessThanOrEqual(1e-3);
    expect(Math.abs(powerHp(60) - at60)).toBeLessThanOrEqual(1e-3);
  });

  test('CK-3.9 in newtons', () => {
    // Source: CK-3.9, computed independently.
    expect(coastDownForceN(50 * MPH, first)).toBeCloseTo(358.3, 1);
    expect(coastDownForceN(60 * MPH, first)).toBeCloseTo(453.61, 2);
  });

  test.each([
    // Source: CK-3.15, EU/UN R83 table of dynamometer settings: a in N, b in N/(km/h)², force and power at 80 km/h; 1 N, 0.05 kW.
    [6.4, 0.0433, 284, 6.3],
    [7.1, 0.0481, 315, 7.0],
    [7.6, 0.0515, 338, 7.5],
    [9.1, 0.0619, 405, 9.0],
  ])('CK-3.15: a %s, b %s', (a, b, forceN, powerKW) => {
    const coefficients = { constantN: a, linearNPerMps: 0, quadraticNPerMps2: convert(b, 'N/(km/h)^2', 'N/(m/s)^2') };
    const force = coastDownForceN(80 / 3.6, coefficients);
    expect(Math.abs(force - forceN)).toBeLessThanOrEqual(1);
    expect(Math.abs((force * 80) / 3.6 / 1000 - powerKW)).toBeLessThanOrEqual(0.05);
  });
});

describe('time to coast', () => {
  test.each([
    // Source: CK-3.14, 40 CFR 86.529-98 Fig. F98-9: force at 65 km/h and coast-down time 70 to 60 km/h; 0.3 N, 0.01 s.
    [100, 0, 0.0224, 94.8, 2.95],
    [200, 8.69, 0.0252, 115.1, 4.85],
    [300, 17.43, 0.0279, 135.4, 6.18],
  ])('CK-3.14: %s kg', (massKg, a, c, forceN, timeS) => {
    const coefficients = { constantN: a, linearNPerMps: 0, quadraticNPerMps2: convert(c, 'N/(km/h)^2', 'N/(m/s)^2') };
    expect(Math.abs(coastDownForceN(65 / 3.6, coefficients) - forceN)).toBeLessThanOrEqual(0.3);
    expect(Math.abs(coastDownTimeS({ fromMps: 70 / 3.6, toMps: 60 / 3.6 }, coefficients, massKg) - timeS)).toBeLessThanOrEqual(0.01);
  });

  test('CK-3.16: speeds and times of a synthetic coast-down', () => {
    // Source: CK-3.16, integrated independently (scipy).
    const speeds = [
      [10, 65.9144],
      [20, 58.3311],
      [30, 51.8764],
      [40, 46.2899],
      [60, 37.0231],
    ] as const;
    for (const [timeS, mph] of speeds) {
      expect(Math.abs(coastDownSpeedMps(timeS, 75 * MPH, first, EFFECTIVE_KG) / MPH - mph)).toBeLessThanOrEqual(1e-3);
    }
    const times = [
      [70, 60, 12.3847],
      [60, 50, 15.5574],
      [50, 40, 19.8473],
      [55, 45, 17.5409],
    ] as const;
    for (const [from, to, timeS] of times) {
      expect(Math.abs(coastDownTimeS({ fromMps: from * MPH, toMps: to * MPH }, first, EFFECTIVE_KG) - timeS)).toBeLessThanOrEqual(1e-3);
    }
  });

  test('CK-3.17: the difference method reads 0.3 % low between 55 and 45 mph', () => {
    // Source: CK-3.17, computed independently.
    const timeS = coastDownTimeS({ fromMps: 55 * MPH, toMps: 45 * MPH }, first, EFFECTIVE_KG);
    expect(Math.abs((EFFECTIVE_KG * 10 * MPH) / timeS - 357.21)).toBeLessThanOrEqual(0.05);
  });

  // A slow second implementation: Runge–Kutta of dv/dt = −F(v)/M.
  function integrate(timeS: number, startMps: number, coefficients: CoastDownCoefficients, massKg: number): number {
    const steps = 400;
    const h = timeS / steps;
    const slope = (v: number) => -coastDownForceN(v, coefficients) / massKg;
    let v = startMps;
    for (let i = 0; i < steps; i++) {
      const k1 = slope(v);
      const k2 = slope(v + (h / 2) * k1);
      const k3 = slope(v + (h / 2) * k2);
      const k4 = slope(v + h * k3);
      v += (h / 6) * (k1 + 2 * k2 + 2 * k3 + k4);
    }
    return v;
  }

  test.each<[string, CoastDownCoefficients]>([
    ['usual', first],
    ['negative linear part', heavy],
    ['constant only', { constantN: 200, linearNPerMps: 0, quadraticNPerMps2: 0 }],
    ['linear only', { constantN: 0, linearNPerMps: 8, quadraticNPerMps2: 0 }],
    ['quadratic only', { constantN: 0, linearNPerMps: 0, quadraticNPerMps2: 0.4 }],
    ['constant and linear', { constantN: 100, linearNPerMps: 5, quadraticNPerMps2: 0 }],
    ['equal roots', { constantN: 100, linearNPerMps: 20, quadraticNPerMps2: 1 }],
    ['almost equal roots', { constantN: 100, linearNPerMps: 20 + 1e-9, quadraticNPerMps2: 1 }],
    ['large linear part', { constantN: 10, linearNPerMps: 30, quadraticNPerMps2: 0.2 }],
    ['downhill', { constantN: -60, linearNPerMps: 0, quadraticNPerMps2: 0.4 }],
  ])('closed form and integration agree: %s', (_name, coefficients) => {
    for (const timeS of [0, 0.5, 5, 20, 40]) {
      const reference = integrate(timeS, 33, coefficients, 1500);
      const speed = coastDownSpeedMps(timeS, 33, coefficients, 1500);
      expect(speed).toBeCloseTo(reference, 8);
      if (speed < 33) expect(coastDownTimeS({ fromMps: 33, toMps: speed }, coefficients, 1500)).toBeCloseTo(timeS, 6);
    }
  });

  test('speed and time are inverse for any resisting set', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 20, max: 400, noNaN: true }),
        fc.double({ min: -2, max: 8, noNaN: true }),
        fc.double({ min: 0.1, max: 1, noNaN: true }),
        fc.double({ min: 0.1, max: 60, noNaN: true }),
        (constantN, linearNPerMps, quadraticNPerMps2, timeS) => {
          const coefficients = { constantN, linearNPerMps, quadraticNPerMps2 };
          const speed = coastDownSpeedMps(timeS, 35, coefficients, 1500);
          if (speed === 0) return true;
          return Math.abs(coastDownTimeS({ fromMps: 35, toMps: speed }, coefficients, 1500) - timeS) < 1e-6;
        },
      ),
      { seed: 5, numRuns: 500 },
    );
  });

  test('the car stands when it has stopped, and never stops where nothing resists it', () => {
    const coefficients = { constantN: 150, linearNPerMps: 0, quadraticNPerMps2: 0 };
    expect(coastDownTimeS({ fromMps: 10, toMps: 0 }, coefficients, 1500)).toBe(100);
    expect(coastDownSpeedMps(101, 10, coefficients, 1500)).toBe(0);
    expect(coastDownTimeS({ fromMps: 10, toMps: 0 }, { ...coefficients, constantN: 0, quadraticNPerMps2: 0.4 }, 1500)).toBe(
      Number.POSITIVE_INFINITY,
    );
    expect(coastDownTimeS({ fromMps: 30, toMps: 5 }, { ...coefficients, constantN: -60, quadraticNPerMps2: 0.4 }, 1500)).toBe(
      Number.POSITIVE_INFINITY,
    );
  });

  test.each([
    ['rising speed', () => coastDownTimeS({ fromMps: 10, toMps: 20 }, first, 1500)],
    ['NaN speed', () => coastDownTimeS({ fromMps: 10, toMps: Number.NaN }, first, 1500)],
    ['no mass', () => coastDownTimeS({ fromMps: 20, toMps: 10 }, first, 0)],
    ['a coefficient of NaN', () => coastDownSpeedMps(1, 20, { ...first, constantN: Number.NaN }, 1500)],
    ['negative time', () => coastDownSpeedMps(-1, 20, first, 1500)],
  ])('refuses %s', (_name, call) => {
    expect(call).toThrow(expect.objectContaining({ code: 'E_COAST' }));
  });
});

test('the road-load model and its coast-down set give the same force', () => {
  const car = { massKg: 1600, airDensityKgPerM3: 1.18, dragAreaM2: 0.65, rollingCoefficient: 0.012, headwindMps: 3, grade: 0.01 };
  for (const speedMps of [5, 15, 30, 50]) {
    expect(coastDownForceN(speedMps, coastDownFromRoadLoad(car))).toBeCloseTo(roadLoad(speedMps, car).totalN, 9);
  }
});
