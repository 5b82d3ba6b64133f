import { studentTTwoSided, wheelPowerW } from '@pullproof/core';
import { describe, expect, it } from 'vitest';
import { bandOf, propagateByDraws, propagateFirstOrder } from '../../../packages/core/src/uncertainty/index.js';

// Source: JCGM 100:2008, annex H.1, end-gauge calibration: published 32 nm, 16 degrees of freedom, t 2.92, expanded 93 nm; contributions
// 25, 9.7, 2.9 and 16.6 nm.
describe('end gauge of the guide', () => {
  const inputs = [
    { value: 50.000623e6, spread: 25, degrees: 18 },
    { value: 215, spread: 9.7, degrees: 25.6 },
    { value: 11.5e-6, spread: 1.2e-6 },
    { value: -0.1, spread: 0.41 },
    { value: 0, spread: 0.58e-6, degrees: 50 },
    { value: 0, spread: 0.029, degrees: 2 },
  ];
  // l = l_s + d − l_s (δα θ + α_s δθ), nm.
  const model = ([gauge, difference, alpha, theta, deltaAlpha, deltaTheta]: readonly number[]) =>
    gauge! + difference! - gauge! * (deltaAlpha! * theta! + alpha! * deltaTheta!);

  it('has the published first-order budget', () => {
    const { value, contributions, spread, degrees } = propagateFirstOrder(model, inputs);
    expect(Math.abs(value - 50.000838e6)).toBeLessThan(1);
    [25, 9.7, 0, 0, 2.9, 16.6].forEach((published, i) => {
      expect(Math.abs(Math.abs(contributions[i]!) - published), `input ${i + 1}`).toBeLessThan(0.1);
    });
    expect(Math.abs(spread - 32)).toBeLessThan(1);
    expect(Math.floor(degrees)).toBe(16);
    const t = studentTTwoSided(0.99, Math.floor(degrees));
    expect(Math.abs(t - 2.92)).toBeLessThan(0.01);
    expect(Math.abs(t * spread - 93)).toBeLessThan(1);
  });

  it('is wider than that by the products of inputs whose value is 0: 34 nm (H.1.7), which only the draws see', () => {
    const drawn = propagateByDraws(model, inputs, { draws: 200_000, seed: 3 });
    expect(Math.abs(drawn.spread - 33.9)).toBeLessThan(0.2);
  });
});

// Source: JCGM 101:2008, 9.2: sums of four inputs of standard deviation 1; exact ends 3.919928 and 3.879407.
describe('sums of four', () => {
  it.each([
    ['normal', undefined, 3.919928],
    ['rectangular', (stream: { uniform: () => number }) => Math.sqrt(3) * (2 * stream.uniform() - 1), 3.879407],
  ])('%s inputs', (_, draw, end) => {
    const inputs = Array.from({ length: 4 }, () => ({ value: 0, spread: 1, ...(draw === undefined ? {} : { draw }) }));
    const { spread, low, high } = propagateByDraws((values) => values.reduce((sum, value) => sum + value, 0), inputs, {
      draws: 400_000,
      seed: 5,
    });
    expect(Math.abs(spread - 2)).toBeLessThan(0.01);
    // 400,000 draws: the end of the interval has a standard error of 0.0085.
    expect(Math.abs(high - end)).toBeLessThan(0.03);
    expect(Math.abs(-low - end)).toBeLessThan(0.03);
  });
});

// Source: JCGM 101:2008, 9.3, mass calibration: first order 1.2340 mg, u 0.0539; drawn u 0.0754, shortest interval 1.0834 to 1.3825.
describe('mass calibration', () => {
  const between = (low: number, high: number) => ({
    value: (low + high) / 2,
    spread: (high - low) / Math.sqrt(12),
    draw: (stream: { uniform: () => number }) => low + (high - low) * stream.uniform(),
  });
  const inputs = [
    { value: 100_000, spread: 0.05 },
    { value: 1.234, spread: 0.02 },
    between(1.1, 1.3),
    between(7000, 9000),
    between(7950, 8050),
  ];
  const model = ([reference, added, air, weight, standard]: readonly number[]) =>
    (reference! + added!) * (1 + (air! - 1.2) * (1 / weight! - 1 / standard!)) - 100_000;

  it('at first order and by draws', () => {
    const first = propagateFirstOrder(model, inputs);
    expect(Math.abs(first.value - 1.234)).toBeLessThan(5e-4);
    expect(Math.abs(first.spread - 0.0539)).toBeLessThan(5e-4);
    const drawn = propagateByDraws(model, inputs, { draws: 400_000, seed: 7 });
    expect(Math.abs(drawn.spread - 0.0754)).toBeLessThan(5e-4);
    expect(Math.abs(drawn.shortestLow - 1.0834)).toBeLessThan(0.003);
    expect(Math.abs(drawn.shortestHigh - 1.3825)).toBeLessThan(0.003);
  });
});

// Values of our own calculation, made apart from the code (regression, not truth): 145.603 kW with contributions in kW.
it('wheel power from motion: both ways agree', () => {
  const inputs = [
    { value: 1600, spread: 20 },
    { value: 1.08, spread: 0.01 },
    { value: 2.5, spread: 0.05 },
    { value: 1.18, spread: 0.01 },
    { value: 0.65, spread: 0.03 },
    { value: 0.012, spread: 0.002 },
    { value: 30, spread: 0.1 },
  ];
  const model = ([massKg, rotatingFactor, acceleration, airDensityKgPerM3, dragAreaM2, rollingCoefficient, speed]: readonly number[]) =>
    wheelPowerW(speed!, acceleration!, {
      massKg: massKg!,
      rotatingFactor: rotatingFactor!,
      airDensityKgPerM3: airDensityKgPerM3!,
      dragAreaM2: dragAreaM2!,
      rollingCoefficient: rollingCoefficient!,
    });
  const first = propagateFirstOrder(model, inputs);
  [1.691, 1.2, 2.592, 0.088, 0.478, 0.941, 0.554].forEach((kilowatts, i) => {
    expect(Math.abs(first.contributions[i]! / 1000 - kilowatts), `input ${i + 1}`).toBeLessThan(1e-3);
  });
  expect(Math.abs(first.spread / 1000 - 3.528)).toBeLessThan(1e-3);
  expect(Math.abs(propagateByDraws(model, inputs, { draws: 100_000 }).spread / 1000 - 3.53)).toBeLessThan(0.03);
});

// Source: Student's sleep data (1908), Welch's test as in R's t.test(extra ~ group, sleep): t −1.8608, ν 17.776, interval −3.365483 to 0.205483.
it('two spreads of few repeats make the band of Welch', () => {
  const groups = [
    [0.7, -1.6, -0.2, -1.2, -0.1, 3.4, 3.7, 0.8, 0, 2],
    [1.9, 0.8, 1.1, 0.1, -0.1, 4.4, 5.5, 1.6, 4.6, 3.4],
  ];
  const shared = groups.map((group, g) => {
    const mean = group.reduce((sum, value) => sum + value, 0) / group.length;
    const variance = group.reduce((sum, value) => sum + (value - mean) ** 2, 0) / (group.length - 1);
    return { name: `group ${g + 1}`, shape: Float64Array.of(Math.sqrt(variance / group.length)), degrees: group.length - 1 };
  });
  const { pointwise, standardDeviation } = bandOf({ shared, covariance: null }, 1, { draws: 100 });
  expect(Math.abs(1.58 / standardDeviation[0]! - 1.86081)).toBeLessThan(1e-5);
  expect(Math.abs(pointwise[0]! - (0.205483 + 3.365483) / 2)).toBeLessThan(1e-5);
});
