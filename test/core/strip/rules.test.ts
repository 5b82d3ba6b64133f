import {
  airDensity,
  constantPower,
  estimateQuarterMile,
  type PullproofError,
  powerCorrection,
  powerFromTrapSpeed,
  quarterMileRules,
  ruleScatter,
  standardAtmosphere,
} from '@pullproof/core';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { quarterMileCars } from './quarterMileCars.js';

const LB = 0.45359237;
const HP = 745.6998715822702;
const MPH = 0.44704;
const { hale } = quarterMileRules;
const huntington = quarterMileRules['huntington-1958'];
const other = { ...hale, speedConstant: 230, timeConstant: 6.269 };

describe('constant power', () => {
  test('CK-8.1: in hp, lb and mph the constants are 281.0971 and 4.802610, their product 1350', () => {
    // Source: CK-8.1, closed form, elementary mechanics.
    const { elapsedTimeS, speedMps } = constantPower(LB, HP);
    expect(speedMps / MPH).toBeCloseTo(281.0971, 4);
    expect(elapsedTimeS).toBeCloseTo(4.80261, 5);
    expect((speedMps / MPH) * elapsedTimeS).toBeCloseTo(1350, 8);
  });

  test.each([
    // Source: CK-8.6 and CK-8.7, closed form, checked by an independent Runge–Kutta integration (FORMULAS §8.2).
    ['CK-8.6', undefined, 10.5237, 57.3469],
    ['CK-8.7 grip 0.9', 0.9, 11.4232, 57.0643],
    ['CK-8.7 grip 0.5', 0.5, 13.1624, 124.503 * MPH],
  ])('%s', (_id, gripShare, elapsedTimeS, speedMps) => {
    const got = constantPower(1600, 250e3, gripShare === undefined ? {} : { gripShare });
    expect(Math.abs(got.elapsedTimeS - elapsedTimeS)).toBeLessThan(1e-4);
    expect(Math.abs(got.speedMps - speedMps)).toBeLessThan(5e-4);
  });

  test('CK-8.20: mean over the last 66 ft over the terminal speed is 0.991548', () => {
    // Source: CK-8.20, exact: (0.05/1.5)/(1 − 0.95^(2/3)).
    const whole = constantPower(1600, 250e3);
    const before = constantPower(1600, 250e3, { distanceM: 0.95 * 402.336 });
    const mean = 20.1168 / (whole.elapsedTimeS - before.elapsedTimeS);
    expect(mean / whole.speedMps).toBeCloseTo(0.991548, 6);
  });

  test('a grip that is never reached changes nothing in the limit; grip alone is uniform acceleration', () => {
    expect(constantPower(1600, 250e3, { gripShare: 1e6 }).elapsedTimeS).toBeCloseTo(constantPower(1600, 250e3).elapsedTimeS, 6);
    expect(constantPower(1600, 1e9, { gripShare: 1 }).elapsedTimeS).toBeCloseTo(Math.sqrt((2 * 402.336) / 9.80665), 10);
  });

  test('more power is never slower, more mass never quicker', () => {
    const kg = fc.double({ min: 500, max: 3000, noNaN: true });
    const watt = fc.double({ min: 2e4, max: 1e6, noNaN: true });
    fc.assert(
      fc.property(kg, watt, fc.double({ min: 0.2, max: 3, noNaN: true }), (massKg, powerW, gripShare) => {
        const et = (m: number, p: number): number => constantPower(m, p, { gripShare }).elapsedTimeS;
        expect(et(massKg, 1.05 * powerW)).toBeLessThanOrEqual(et(massKg, powerW));
        expect(et(1.05 * massKg, powerW)).toBeGreaterThanOrEqual(et(massKg, powerW));
      }),
      { seed: 8, numRuns: 200 },
    );
  });

  test.each([
    [Number.NaN, 1e5],
    [1600, 0],
    [-1, 1e5],
    [1600, Number.POSITIVE_INFINITY],
  ])('refuses %s kg and %s W', (massKg, powerW) => {
    expect(codeOf(() => constantPower(massKg, powerW))).toBe('E_STRIP_INPUT');
    expect(codeOf(() => estimateQuarterMile(massKg, powerW, hale))).toBe('E_STRIP_INPUT');
  });
});

describe('published rules', () => {
  test.each([
    // Source: CK-8.2, fraction of peak power that a rule implies: (K/281.0971)³ and (4.80261/k)³.
    [huntington, 0.506, 0.445],
    [other, 0.548, 0.45],
    [hale, 0.577, 0.561],
  ])('CK-8.2: the share of peak power that a rule implies', (rule, bySpeed, byTime) => {
    const free = constantPower(LB, HP);
    expect(Math.abs((rule.speedConstant / (free.speedMps / MPH)) ** 3 - bySpeed)).toBeLessThan(6e-4);
    expect(Math.abs((free.elapsedTimeS / rule.timeConstant) ** 3 - byTime)).toBeLessThan(6e-4);
  });

  test.each([
    // Source: CK-8.3 and CK-8.4, the rules' constants by hand.
    ['CK-8.3', 3500, 400, huntington, 12.961, 108.7],
    ['CK-8.3', 3500, 400, other, 12.918, 111.62],
    ['CK-8.3', 3500, 400, hale, 12.003, 113.56],
    ['CK-8.4', 3800, 300, huntington, 14.662, 96.09],
    ['CK-8.4', 3800, 300, hale, 13.578, 100.38],
  ])('%s: %s lb, %s hp', (_id, pounds, horsepower, rule, elapsedTimeS, mph) => {
    const got = estimateQuarterMile(pounds * LB, horsepower * HP, rule);
    expect(Math.abs(got.elapsedTimeS - elapsedTimeS)).toBeLessThan(1e-3);
    expect(Math.abs(got.trapMps / MPH - mph)).toBeLessThan(1e-2);
  });

  test('CK-8.3: the limit of constant power for the same car', () => {
    // Source: CK-8.3, closed form.
    const got = constantPower(3500 * LB, 400 * HP);
    expect(Math.abs(got.elapsedTimeS - 9.896)).toBeLessThan(1e-3);
    expect(Math.abs(got.speedMps / MPH - 136.41)).toBeLessThan(1e-2);
  });

  test.each([
    // Source: CK-8.5, by hand.
    [hale, 363.58],
    [huntington, 414.48],
  ])('CK-8.5: power from a trap speed of 110 mph at 3500 lb', (rule, horsepower) => {
    const powerW = powerFromTrapSpeed(3500 * LB, 110 * MPH, rule);
    expect(Math.abs(powerW / HP - horsepower)).toBeLessThan(1e-2);
    expect(estimateQuarterMile(3500 * LB, powerW, rule).trapMps / MPH).toBeCloseTo(110, 9);
  });

  test.each([
    // Source: CK-8.17, density ratio to the power of −1/3 and 1/3.
    [0.95, 1.017245, 0.983048],
    [0.9, 1.035744, 0.965489],
    [0.85, 1.055667, 0.947268],
  ])('CK-8.17: power that follows the density ratio %s', (sigma, time, speed) => {
    const [at, to] = [1, sigma].map((share) => estimateQuarterMile(1600, share * 250e3, hale)) as [
      ReturnType<typeof estimateQuarterMile>,
      ReturnType<typeof estimateQuarterMile>,
    ];
    expect(to.elapsedTimeS / at.elapsedTimeS).toBeCloseTo(time, 6);
    expect(to.trapMps / at.trapMps).toBeCloseTo(speed, 6);
  });

  test('CK-8.18: at 1500 m density alone and the engine standard differ by 1.5 % in time', () => {
    // Source: CK-8.18, standard atmosphere: density ratio 0.863728; SAE J1349 power ratio 0.825465 (FORMULAS §8.4).
    const level = standardAtmosphere(1500);
    const air = { temperatureK: level.temperatureK, stationPressurePa: level.pressurePa, relativeHumidity: 0 };
    const sea = standardAtmosphere(0);
    const sigma = airDensity(air) / airDensity({ temperatureK: sea.temperatureK, stationPressurePa: sea.pressurePa, relativeHumidity: 0 });
    expect(sigma).toBeCloseTo(0.863728, 4);
    expect(sigma ** (-1 / 3)).toBeCloseTo(1.050043, 4);
    const atSea = { temperatureK: sea.temperatureK, stationPressurePa: sea.pressurePa, relativeHumidity: 0 };
    const ratio = powerCorrection('sae-j1349', atSea).factor / powerCorrection('sae-j1349', air).factor;
    expect(ratio).toBeCloseTo(0.825465, 3);
    expect(ratio ** (-1 / 3)).toBeCloseTo(1.066024, 3);
  });
});

describe('32 cars of 1974', () => {
  // Source: CK-8.11 to CK-8.16, residuals on mtcars (Henderson & Velleman 1981), FORMULAS §8.3.
  const root = (hp: number, pounds: number): number => Math.cbrt(pounds / hp);
  const cars = quarterMileCars.map(([hp, wt, qsec]) => ({ hp, pounds: 1000 * wt, qsec }));
  const mean = (values: readonly number[]): number => values.reduce((sum, x) => sum + x, 0) / values.length;
  const through = (extraPounds: number, list = cars): number =>
    mean(list.map((c) => c.qsec * root(c.hp, c.pounds + extraPounds))) / mean(list.map((c) => root(c.hp, c.pounds + extraPounds) ** 2));
  const errors = (k: number, extraPounds = 0, list = cars): { bias: number; rms: number; mae: number } => {
    const residuals = list.map((c) => c.qsec - k * root(c.hp, c.pounds + extraPounds));
    return { bias: mean(residuals), rms: Math.sqrt(mean(residuals.map((r) => r * r))), mae: mean(residuals.map(Math.abs)) };
  };

  test('are the data', () => {
    expect(cars).toHaveLength(32);
    expect(mean(cars.map((c) => c.hp))).toBe(146.6875);
    expect(mean(cars.map((c) => c.pounds))).toBeCloseTo(3217.25, 8);
    expect(mean(cars.map((c) => c.qsec))).toBeCloseTo(17.84875, 8);
  });

  test('CK-8.11 and CK-8.15: least squares through the origin', () => {
    const k = through(0);
    expect(k).toBeCloseTo(6.20055, 4);
    expect(errors(k).rms).toBeCloseTo(1.0932, 4);
    expect(errors(k).mae).toBeCloseTo(0.7842, 4);
    expect(through(180)).toBeCloseTo(6.07761, 4);
    expect(errors(through(180), 180).rms).toBeCloseTo(1.0866, 4);
    expect(errors(through(180), 180).mae).toBeCloseTo(0.7752, 4);
  });

  test.each([
    ['CK-8.12', hale, 1.1227, 1.5397, 1.2622],
    ['CK-8.13', other, -0.1522, 1.1109, 0.8095],
    ['CK-8.14', huntington, -0.2125, 1.1232, 0.8188],
  ])('%s: errors of a published rule, by the rule as it is coded', (_id, rule, bias, rms, mae) => {
    const residuals = cars.map((c) => c.qsec - estimateQuarterMile(c.pounds * LB, c.hp * HP, rule).elapsedTimeS);
    expect(Math.abs(mean(residuals) - bias)).toBeLessThan(1e-4);
    expect(Math.abs(Math.sqrt(mean(residuals.map((r) => r * r))) - rms)).toBeLessThan(1e-4);
    expect(Math.abs(mean(residuals.map(Math.abs)) - mae)).toBeLessThan(1e-4);
  });

  test('CK-8.16: a free exponent', () => {
    const xs = cars.map((c) => Math.log(c.pounds / c.hp));
    const ys = cars.map((c) => Math.log(c.qsec));
    const sxx = mean(xs.map((x) => (x - mean(xs)) ** 2));
    const sxy = mean(xs.map((x, i) => (x - mean(xs)) * (ys[i]! - mean(ys))));
    expect(sxy / sxx).toBeCloseTo(0.25797, 4);
    expect(mean(ys) - (sxy / sxx) * mean(xs)).toBeCloseTo(2.06516, 4);
  });

  test('the scatter that is stated: 0.0588, told as 6 %', () => {
    const logs = cars.map((c) => Math.log(c.qsec / root(c.hp, c.pounds)));
    const sd = Math.sqrt((mean(logs.map((l) => (l - mean(logs)) ** 2)) * 32) / 31);
    expect(sd).toBeCloseTo(0.0588, 4);
    expect(ruleScatter).toBeGreaterThanOrEqual(sd);
    expect(ruleScatter - sd).toBeLessThan(0.002);
    const sorted = logs.map(Math.exp).sort((a, b) => a - b);
    expect((sorted[15]! + sorted[16]!) / 2).toBeCloseTo(6.16547, 4);
  });
});

function codeOf(act: () => unknown): string | null {
  try {
    act();
    return null;
  } catch (problem) {
    return (problem as PullproofError).code;
  }
}
