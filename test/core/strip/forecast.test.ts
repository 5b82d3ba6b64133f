import {
  carInputs,
  constantPower,
  forecastPass,
  type LearnedCar,
  learnFromSlips,
  ownInputs,
  type PassModel,
  type PassSpreads,
  simulatePass,
  slipOf,
  type UncertainDay,
  worthOfChange,
} from '@pullproof/core';
import { describe, expect, test } from 'vitest';
import { constantPowerCar, level, withPower } from './inventedCars.js';

// Source: constant power, closed form (CK-8.7): time goes with (m/P)^(1/3), speed with (P/m)^(1/3), all along once grip is out of the way.
const none: PassSpreads = {
  powerShare: 0,
  powerSlopeShare: 0,
  densityExponent: 0,
  gripShare: 0,
  launchShare: 0,
  shiftShare: 0,
  massShare: 0,
  dragShare: 0,
  rollingShare: 0,
  rollOutM: 0,
  rotatingShare: 0,
  launchRpmShare: 0,
  gripRepeatShare: 0,
  powerRepeatShare: 0,
};
const model = (spreads: Partial<PassSpreads>): PassModel => ({
  car: { ...constantPowerCar, grip: { ...constantPowerCar.grip, frictionCoefficient: 20 } },
  curveDensityKgPerM3: level.airDensityKgPerM3,
  densityExponent: 0,
  spreads: { ...none, ...spreads },
});
const day: UncertainDay = {
  ...level,
  rollOutM: 0.3,
  windSpreadMps: 0,
  gradeSpread: 0,
  densitySpreadShare: 0,
  massFactor: 1,
  massSpreadShare: 0,
};
const after = (distanceM: number): number => constantPower(1600, 250e3, { distanceM }).elapsedTimeS;
const timeS = after(402.336 + day.rollOutM) - after(day.rollOutM);
const { trapMps } = simulatePass(model({}).car, day).marks[4]!;
const half = ({ low, high }: { low: number; high: number }): number => (high - low) / 2;
/** A car whose power is known to be `z` spreads up, with what is left of its and the mass's variance, and their covariance. */
const learnedCar = (z: number, variance: number, covariance = 0, massVariance = 1): LearnedCar => {
  const inputs = carInputs(model({}));
  const size = inputs.length;
  const carZ = new Float64Array(size);
  const matrix = new Float64Array(size * size);
  for (let i = 0; i < size; i++) matrix[i * size + i] = 1;
  const mass = inputs.findIndex(({ name }) => name === 'mass');
  carZ[0] = z;
  matrix[0] = variance;
  matrix[mass] = covariance;
  matrix[mass * size] = covariance;
  matrix[mass * size + mass] = massVariance;
  return { inputs, carZ, covariance: matrix, slips: [], iterations: 0, converged: true, misfit: 1, cannotBe: false };
};

describe('a forecast where only power is unsure', () => {
  test('has the band of a third of its share, beside what passes scatter by themselves', () => {
    const forecast = forecastPass(model({ powerShare: 0.03 }), day, { draws: 600 });
    expect(Math.abs(forecast.elapsedTimeS.value - timeS)).toBeLessThan(0.02);
    // 600 draws in mirrored pairs: a bound is known to about 7 %.
    expect(Math.abs(half(forecast.elapsedTimeS) / (1.96 * Math.hypot(timeS * 0.01, 0.027)) - 1)).toBeLessThan(0.15);
    expect(Math.abs(half(forecast.trapMps) / (1.96 * Math.hypot(trapMps * 0.01, 0.06)) - 1)).toBeLessThan(0.15);
    const { low, value, high } = forecast.elapsedTimeS;
    expect(Math.abs((low + high) / 2 - value)).toBeLessThan(0.15 * half(forecast.elapsedTimeS));
    const centre = forecast.central.marks[4]!;
    expect([value, forecast.trapMps.value]).toEqual([centre.timeS, centre.trapMps]);
    expect(forecast.splits.map(({ mark }) => mark)).toEqual(['60ft', '330ft', '660ft', '1000ft', '1320ft']);
    expect(forecast.splits[4]).toEqual({ mark: '1320ft', timeS: forecast.elapsedTimeS, trapMps: forecast.trapMps });
    // At 60 ft passes scatter by 0.008 s.
    const { timeS: short } = forecast.splits[0]!;
    expect(Math.abs(half(short) / (1.96 * Math.hypot(short.value * 0.01, 0.008)) - 1)).toBeLessThan(0.15);
  });

  test('names power as all that counts, and both by their covariance where mass is unsure too', () => {
    const alone = forecastPass(model({ powerShare: 0.03 }), day, { draws: 10 }).shares;
    expect(alone.map(({ input }) => input)).toEqual([...carInputs(model({})), ...ownInputs(model({}), day)].map(({ name }) => name));
    for (const { input, elapsedTime, trap } of alone) {
      expect(elapsedTime).toBeCloseTo(input === 'power' ? 1 : 0, 9);
      expect(trap).toBeCloseTo(input === 'power' ? 1 : 0, 9);
    }
    // Slopes −3 and 1, covariance 0.5: 9 − 1.5 and 1 − 1.5 of 7.
    const both = forecastPass(model({ powerShare: 0.03, massShare: 0.01 }), day, { draws: 10, learned: learnedCar(0, 1, 0.5) }).shares;
    for (const key of ['elapsedTime', 'trap'] as const) {
      expect(both.find(({ input }) => input === 'power')![key]).toBeCloseTo(7.5 / 7, 3);
      expect(both.find(({ input }) => input === 'mass')![key]).toBeCloseTo(-0.5 / 7, 3);
    }
  });

  test('stands where slips have moved it, as wide as they left it', () => {
    const learned = learnedCar(2, 0.25);
    const forecast = forecastPass(model({ powerShare: 0.03 }), day, { draws: 600, learned });
    expect(Math.abs(forecast.elapsedTimeS.value - timeS * Math.exp(-0.02))).toBeLessThan(0.02);
    expect(Math.abs(half(forecast.elapsedTimeS) / (1.96 * Math.hypot(timeS * 0.005, 0.027)) - 1)).toBeLessThan(0.15);
    // Power and mass that are off by themselves: √2 of either.
    const apart = forecastPass(model({ powerShare: 0.03, massShare: 0.03 }), day, { draws: 600 });
    expect(Math.abs(half(apart.elapsedTimeS) / (1.96 * Math.hypot((timeS * Math.SQRT2) / 100, 0.027)) - 1)).toBeLessThan(0.15);
    // What mass and power are off together partly cancels: variance 9 + 1 − 2 · 3 · 0.9 of 10.
    const tied = forecastPass(model({ powerShare: 0.03, massShare: 0.01 }), day, { draws: 600, learned: learnedCar(0, 1, 0.9) });
    expect(Math.abs(half(tied.elapsedTimeS) / (1.96 * Math.hypot((timeS * Math.sqrt(4.6)) / 300, 0.027)) - 1)).toBeLessThan(0.15);
  });

  test('draws in mirrored pairs, so that the mean of the draws is that of the scatter alone', () => {
    // 50 draws: power alone (1 % of the time) would move the mean by 0.0146 s, mirrored only what passes scatter by themselves, 0.027 s/√50.
    const means = Array.from({ length: 24 }, (_, seed) => {
      const { draws, elapsedTimeS } = forecastPass(model({ powerShare: 0.03 }), day, { draws: 50, seed });
      return draws.elapsedTimeS.reduce((sum, x) => sum + x, 0) / 50 - elapsedTimeS.value;
    });
    const rms = Math.sqrt(means.reduce((sum, x) => sum + x * x, 0) / means.length);
    expect(rms).toBeLessThan(0.006);
    expect(rms).toBeGreaterThan(0.002);
  });

  test('takes the bounds of the draws, straight between neighbours', () => {
    // Of two draws, the quantile p lies p of the way from one to the other.
    for (const level of [0.95, 0.5]) {
      const { draws, elapsedTimeS, trapMps: trap } = forecastPass(model({ powerShare: 0.03 }), day, { draws: 2, level });
      const apart = (values: Float64Array): number => Math.abs(values[1]! - values[0]!);
      expect(elapsedTimeS.high - elapsedTimeS.low).toBeCloseTo(level * apart(draws.elapsedTimeS), 9);
      expect(trap.high - trap.low).toBeCloseTo(level * apart(draws.trapMps), 9);
    }
  });

  test('has the level, the draws and the seed that are asked for', () => {
    const at = (options: { draws?: number; level?: number; seed?: number }) => forecastPass(model({ powerShare: 0.03 }), day, options);
    const usual = at({});
    expect([usual.draws.elapsedTimeS.length, usual.draws.trapMps.length]).toEqual([400, 400]);
    expect(at({ draws: 400, seed: 1, level: 0.95 }).draws).toEqual(usual.draws);
    expect(at({ seed: 2 }).draws).not.toEqual(usual.draws);
    // Quantiles of the normal distribution: 0.6745 to 1.96.
    expect(
      Math.abs(half(at({ level: 0.5, draws: 600 }).elapsedTimeS) / half(at({ draws: 600 }).elapsedTimeS) - 0.6745 / 1.96),
    ).toBeLessThan(0.05);
  });
});

describe('the worth of a change', () => {
  const sure = model({});
  test('of power that is itself unsure has a third of that as its band', () => {
    const { elapsedTimeS, trapMps: trap } = worthOfChange(sure, day, { model: sure, day, powerDifferenceSpread: 0.01 }, { draws: 400 });
    expect(elapsedTimeS.value).toBe(0);
    expect(Math.abs(half(elapsedTimeS) / ((1.96 * timeS * 0.01) / 3) - 1)).toBeLessThan(0.15);
    expect(Math.abs(half(trap) / ((1.96 * trapMps * 0.01) / 3) - 1)).toBeLessThan(0.15);
  });

  test('is as unsure as the car itself only by what the car makes of it: luck is common to both', () => {
    const unsure = model({ powerShare: 0.03 });
    const lighter = { model: unsure, day: { ...day, massFactor: 0.97 }, powerDifferenceSpread: 0 };
    const { elapsedTimeS, trapMps: trap } = worthOfChange(unsure, day, lighter, { draws: 400 });
    expect(elapsedTimeS.value).toBeCloseTo(timeS * (0.97 ** (1 / 3) - 1), 2);
    expect(trap.value).toBeCloseTo(trapMps * (0.97 ** (-1 / 3) - 1), 2);
    // Time goes with P^(−1/3): 1 % of it.
    expect(Math.abs(half(elapsedTimeS) / Math.abs(elapsedTimeS.value) / 0.0196 - 1)).toBeLessThan(0.15);
    const narrow = worthOfChange(unsure, day, lighter, { draws: 400, level: 0.5 });
    expect(Math.abs(half(narrow.elapsedTimeS) / half(elapsedTimeS) - 0.6745 / 1.96)).toBeLessThan(0.06);
  });

  test('is that of the car as its slips have left it', () => {
    const unsure = model({ powerShare: 0.03, massShare: 0.01 });
    const lighter = { model: unsure, day: { ...day, massFactor: 0.97 }, powerDifferenceSpread: 0 };
    const worth = worthOfChange(unsure, day, lighter, { draws: 400, learned: learnedCar(2, 0.25) });
    const asDescribed = worthOfChange(unsure, day, lighter, { draws: 2 });
    expect(worth.elapsedTimeS.value / asDescribed.elapsedTimeS.value).toBeCloseTo(Math.exp(-0.02), 3);
    expect(worth.trapMps.value / asDescribed.trapMps.value).toBeCloseTo(Math.exp(0.02), 3);
    expect(Math.abs(half(worth.elapsedTimeS) / Math.abs(worth.elapsedTimeS.value) / (1.96 * Math.hypot(0.005, 0.01 / 3)) - 1)).toBeLessThan(
      0.15,
    );
    // Power and mass that are off together cancel: √4.6 of √10.
    const tied = worthOfChange(unsure, day, lighter, { draws: 400, learned: learnedCar(0, 1, 0.9) });
    expect(Math.abs(half(tied.elapsedTimeS) / Math.abs(tied.elapsedTimeS.value) / ((1.96 * Math.sqrt(4.6)) / 300) - 1)).toBeLessThan(0.15);
  });

  test('has the draws and the seed that are asked for', () => {
    const change = { model: sure, day, powerDifferenceSpread: 0.01 };
    const usual = worthOfChange(sure, day, change);
    expect(worthOfChange(sure, day, change, { draws: 120, seed: 1, level: 0.95 })).toEqual(usual);
    expect(worthOfChange(sure, day, change, { seed: 2 })).not.toEqual(usual);
  });
});

describe('learning where only power is unsure', () => {
  const unsure = model({ powerShare: 0.03 });
  const strong = withPower(unsure.car, 250e3 * Math.exp(0.06));
  const { timesS } = slipOf(simulatePass(strong, day, { stepS: 0.03 }));
  const only = { timesS: { '1320ft': timesS['1320ft']! }, trapsMps: {} };
  // One time with error 0.004 s and slope s = t · 0.01 for one spread: precision 1 + (s/0.004)².
  const precision = 1 + ((timeS * 0.01) / 0.004) ** 2;

  test('from one time: the most likely power, what is left of its variance, and the misfit', () => {
    const learned = learnFromSlips(unsure, [{ slip: only, day }]);
    expect(learned.converged).toBe(true);
    expect(learned.carZ[0]!).toBeCloseTo(2 * (1 - 1 / precision), 2);
    expect(learned.covariance[0]! * precision).toBeCloseTo(1, 1);
    // The squares that are left: (2 s)²/(s² + σ²) over one row.
    expect(learned.misfit).toBeCloseTo(4 * (1 - 1 / precision), 1);
    learned.carZ.slice(1).forEach((z, i) => {
      // Grip is searched from two places, but has no slope here.
      expect(Math.abs(z)).toBeLessThan(1e-9);
      expect(learned.covariance[(i + 1) * (learned.carZ.length + 1)]).toBeCloseTo(1, 9);
    });
    expect(learned.inputs).toEqual(carInputs(unsure));
    // It is printed with finer steps than it is learned with: 4 ms at the start of a car with grip without end.
    expect(Math.abs(learned.slips[0]!.fitted.timesS['1320ft']! - only.timesS['1320ft'])).toBeLessThan(0.006);
    expect(learned.slips[0]!.ownZ).toHaveLength(6);
  });

  test('from several slips: each with its own day and its own model', () => {
    const slow = { ...day, massFactor: 1.1 };
    const heavy = slipOf(simulatePass({ ...strong, massKg: 1760 }, day, { stepS: 0.03 })).timesS;
    const halved = { ...unsure, car: withPower(unsure.car, 125e3) };
    const weak = slipOf(simulatePass(withPower(strong, 125e3 * Math.exp(0.06)), day, { stepS: 0.03 })).timesS;
    const learned = learnFromSlips(unsure, [
      { slip: only, day },
      { slip: { timesS: { '1320ft': heavy['1320ft']! }, trapsMps: {} }, day: slow },
      { slip: { timesS: { '1320ft': weak['1320ft']! }, trapsMps: {} }, day, model: halved },
    ]);
    expect(learned.carZ[0]!).toBeCloseTo(2, 2);
    expect(learned.slips).toHaveLength(3);
    // Every time is met: what is left are the two spreads that power had to move, 2², over three rows.
    expect(learned.misfit).toBeCloseTo(4 / 3, 1);
    learned.slips.forEach(({ fitted }, i) => {
      expect(Math.abs(fitted.timesS['1320ft']! - [only.timesS['1320ft'], heavy['1320ft']!, weak['1320ft']!][i]!)).toBeLessThan(0.02);
    });
  });

  test('what one pass has for itself is told from the car by a second pass', () => {
    const both = model({ powerShare: 0.03, powerRepeatShare: 0.03 });
    const plain = slipOf(simulatePass(unsure.car, day, { stepS: 0.03 })).timesS['1320ft']!;
    const slips = [only, { timesS: { '1320ft': plain }, trapsMps: {} }].map((slip) => ({ slip, day }));
    const learned = learnFromSlips(both, slips);
    // By hand, times nearly exact: car + own = 2 and 0, the least sum of squares: car 2/3, own 4/3 and −2/3.
    expect(learned.carZ[0]!).toBeCloseTo(2 / 3, 1);
    expect(learned.slips[0]!.ownZ[1]!).toBeCloseTo(4 / 3, 1);
    expect(learned.slips[1]!.ownZ[1]!).toBeCloseTo(-2 / 3, 1);
    expect(learned.covariance[0]!).toBeCloseTo(1 / 3, 1);
  });

  test('from a trap speed alone', () => {
    const trap = simulatePass(strong, day, { stepS: 0.03 }).marks[4]!.trapMps;
    const learned = learnFromSlips(unsure, [{ slip: { timesS: {}, trapsMps: { '1320ft': trap } }, day }]);
    expect(learned.carZ[0]!).toBeCloseTo(2 * (1 - 1 / (1 + ((trapMps * 0.01) / 0.06) ** 2)), 2);
  });

  test('refuses no slips, and a slip among them that shows nothing', () => {
    expect(() => learnFromSlips(unsure, [])).toThrow(
      'there is no time or speed to learn from. Give at least one time of each slip. [E_STRIP_SLIP]',
    );
    expect(() =>
      learnFromSlips(unsure, [
        { slip: only, day },
        { slip: { timesS: {}, trapsMps: {} }, day },
      ]),
    ).toThrow('[E_STRIP_SLIP]');
  });

  test('a pass as a slip shows every time, and every speed but that at 60 ft', () => {
    const slip = slipOf(simulatePass(unsure.car, day));
    expect(Object.keys(slip.timesS)).toEqual(['60ft', '330ft', '660ft', '1000ft', '1320ft']);
    expect(Object.keys(slip.trapsMps)).toEqual(['330ft', '660ft', '1000ft', '1320ft']);
    expect(slip.trapsMps['1320ft']).toBe(trapMps);
  });
});
