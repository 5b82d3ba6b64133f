import {
  constantPower,
  estimateQuarterMile,
  type Pass,
  type PassCar,
  powerFromTrapSpeed,
  powerTable,
  quarterMileRules,
  simulatePass,
  speedSpanS,
} from '@pullproof/core';
import { describe, expect, test } from 'vitest';
import { constantPowerCar, level, withPower } from './inventedCars.js';

// Source: elementary mechanics of a point mass; each case has a closed form.
const gravity = 9.80665;
const quarterM = 402.336;
/** 1000 kg; a force of 10 W for every rpm at 100 rpm a m/s: 1000 N at any speed. Grip without end. */
const steady: PassCar = {
  ...constantPowerCar,
  massKg: 1000,
  power: powerTable([1000, 9000], [10e3, 90e3]),
  grip: { frictionCoefficient: 50, drivenShare: 1, transfer: 0 },
};
const last = <T>(list: readonly T[]): T => list.at(-1)!;
/** Speed at a time after the first movement. */
const speedAt = ({ trace, clockStartS }: Pass, t: number): number => {
  const i = trace.timeS.findIndex((s) => s + clockStartS >= t - 1e-9);
  const [a, b] = [trace.timeS[i - 1]! + clockStartS, trace.timeS[i]! + clockStartS];
  return trace.speedMps[i - 1]! + ((t - a) / (b - a)) * (trace.speedMps[i]! - trace.speedMps[i - 1]!);
};

/** The trace has one point a step: time always rises, never by more than 0.02 s. */
const evenly = ({ trace: { timeS } }: Pass): void => {
  for (let i = 1; i < timeS.length; i++) {
    expect(timeS[i]!).toBeGreaterThan(timeS[i - 1]!);
    expect(timeS[i]! - timeS[i - 1]!).toBeLessThan(0.02 + 1e-9);
  }
};

describe('a pass by its mechanics', () => {
  test('a steady force: every mark, its trap, and the end', () => {
    const pass = simulatePass(steady, level);
    [18.288, 100.584, 201.168, 304.8, quarterM].forEach((metres, i) => {
      const time = Math.sqrt(2 * metres);
      expect(pass.marks[i]!.timeS).toBeCloseTo(time, 8);
      // The trap before 60 ft begins at the start.
      const fromM = Math.max(0, metres - 20.1168);
      expect(pass.marks[i]!.trapMps).toBeCloseTo((metres - fromM) / (time - Math.sqrt(2 * fromM)), 6);
    });
    expect(pass.terminalMps).toBeCloseTo(Math.sqrt(2 * quarterM), 5);
    expect([pass.clockStartS, pass.gripLimitedS, pass.shiftsS]).toEqual([0, 0, []]);
    expect(pass.highestRpm).toBeGreaterThan(100 * pass.terminalMps - 1);
    expect(pass.highestRpm).toBeLessThan(100 * (pass.terminalMps + 0.021));
    expect(pass.lowestRpm).toBeLessThan(3);
    expect(speedSpanS(pass, 10, 20)).toBeCloseTo(10, 8);
    expect(speedSpanS(pass, 10, 40)).toBeNull();
    expect(speedSpanS(pass, 40, 10)).toBeNull();
    // Between the points of the trace, 0.02 m/s apart, and from rest.
    expect(speedSpanS(pass, 10.003, 20.017)).toBeCloseTo(10.014, 8);
    expect(speedSpanS(pass, 0, 0.007)).toBeCloseTo(0.007, 8);
  });

  test('the clock starts where the roll-out ends, and time, distance count from there', () => {
    const pass = simulatePass(steady, { ...level, rollOutM: 0.5 });
    expect(pass.clockStartS).toBeCloseTo(1, 8);
    expect(last(pass.marks).timeS).toBeCloseTo(Math.sqrt(2 * (quarterM + 0.5)) - 1, 8);
    expect(pass.trace.timeS[0]).toBeCloseTo(-1, 8);
    expect(pass.trace.distanceM[0]).toBe(-0.5);
    expect(last(pass.trace.distanceM)).toBeGreaterThanOrEqual(quarterM);
    expect(last(pass.trace.timeS)).toBeGreaterThan(last(pass.marks).timeS);
  });

  test('spinning parts, a climb and rolling resistance take their part of a steady force', () => {
    const spinning = {
      ...steady,
      neutralRotatingFactor: 1.25,
      gears: [{ rpmPerMps: 100, rotatingFactor: 1.25 }],
      rollingCoefficient: 0.012,
    };
    const pass = simulatePass(spinning, { ...level, grade: 0.02 });
    const acceleration = (1000 - (1000 * gravity * 0.032) / Math.hypot(1, 0.02)) / 1250;
    expect(last(pass.marks).timeS).toBeCloseTo(Math.sqrt((2 * quarterM) / acceleration), 7);
  });

  test('weight comes onto the driven axle by what the car gains in speed, losses taken off', () => {
    // At the road F = μ (m g s + m a h/L) and m a = F − R, whatever spins behind the tyre, so that a = (μ m g s − R)/(m (1 − μ h/L)).
    const [friction, share, transfer, factor, rolling] = [0.8, 0.55, 0.2, 1.2, 0.03];
    for (const sign of [1, -1]) {
      const car = {
        ...withPower(steady, 1e8),
        rollingCoefficient: rolling,
        gears: [{ rpmPerMps: 100, rotatingFactor: factor }],
        grip: { frictionCoefficient: friction, drivenShare: share, transfer: sign * transfer },
      };
      const pass = simulatePass(car, level);
      const acceleration = (gravity * (friction * share - rolling)) / (1 - sign * friction * transfer);
      expect(last(pass.marks).timeS).toBeCloseTo(Math.sqrt((2 * quarterM) / acceleration), 6);
      expect(pass.gripLimitedS).toBeGreaterThan(last(pass.marks).timeS);
    }
  });

  test('stands until the force that builds up is more than what holds the car', () => {
    // 300 N of rolling resistance, 1000 N (1 − e^(−t/0.8)): from t₀ on v = 0.7 (t − t₀) + 0.8 (e^(−t/0.8) − e^(−t₀/0.8)).
    const car = { ...steady, rollingCoefficient: 0.3 / gravity, launch: { ...steady.launch, riseS: 0.8 } };
    const pass = simulatePass(car, level);
    const heldS = -0.8 * Math.log(0.7);
    pass.trace.timeS.forEach((t, i) => {
      expect(pass.trace.speedMps[i]!).toBeGreaterThanOrEqual(0);
      if (t < heldS - 0.02) expect(pass.trace.speedMps[i]).toBe(0);
    });
    for (const t of [1, 5]) {
      const speed = 0.7 * (t - heldS) + 0.8 * (Math.exp(-t / 0.8) - Math.exp(-heldS / 0.8));
      expect(speedAt(pass, t)).toBeCloseTo(speed, 3);
    }
  });

  test('a force that builds up: v = a (t − τ (1 − e^(−t/τ)))', () => {
    const pass = simulatePass({ ...steady, launch: { ...steady.launch, riseS: 0.8 } }, level);
    for (const t of [0.4, 1, 5]) expect(speedAt(pass, t)).toBeCloseTo(t - 0.8 * (1 - Math.exp(-t / 0.8)), 5);
  });

  test('drag and a headwind: the speed of balance is held', () => {
    // ½ · 1.2 · A (v + w)² = 1000 N at 30 m/s against 10 m/s of wind.
    const balanced = { ...steady, dragAreaM2: 1000 / (0.6 * 40 ** 2) };
    const pass = simulatePass(balanced, { ...level, windMps: 10 });
    // v' = (1 − (v + w)²/40²): v + w = 40 tanh(t/40 + artanh(10/40)).
    for (const t of [5, 15]) expect(speedAt(pass, t)).toBeCloseTo(40 * Math.tanh(t / 40 + Math.atanh(0.25)) - 10, 5);
  });

  test('a tailwind faster than the car pushes it', () => {
    const pass = simulatePass({ ...steady, dragAreaM2: 1 }, { ...level, windMps: -5 });
    expect(speedAt(pass, 0.02)).toBeCloseTo(0.02 * (1 + (0.6 * 25) / 1000), 5);
  });

  test('a slipping clutch holds the launch’s engine speed until the gear has caught up', () => {
    // 30 kW at 3000 rpm, 100 rpm a m/s: 1000 N up to 30 m/s, then constant power; shorter gears are not there.
    const car = { ...withPower(steady, 30e3), launch: { engineSpeedRpm: 2000, riseS: 0, stallTorqueRatio: null } };
    const pass = simulatePass(car, level);
    // 1500 N up to 20 m/s after 13.33 s, then v² = 20² + 2 P (t − t₁)/m.
    expect(speedAt(pass, 10)).toBeCloseTo(15, 6);
    expect(speedAt(pass, 16)).toBeCloseTo(Math.sqrt(400 + 60 * (16 - 40 / 3)), 3);
    expect(pass.lowestRpm).toBe(2000);
    expect(pass.highestRpm).toBeCloseTo(100 * last(pass.trace.speedMps), 6);
  });

  test('after a shift the clutch is locked, also below the engine speed of the launch', () => {
    // Constant power: with a locked clutch v² = 20² + 2 P (t − t₁)/m in any gear. 25 m/s are 2500 rpm, and 1250 rpm in the next.
    const car = {
      ...withPower(steady, 30e3),
      gears: [100, 50].map((rpmPerMps) => ({ rpmPerMps, rotatingFactor: 1 })),
      launch: { engineSpeedRpm: 2000, riseS: 0, stallTorqueRatio: null },
      shift: { engineSpeedRpm: 2500, holeS: 0, returnS: 0 },
    };
    const pass = simulatePass(car, level);
    expect(pass.shiftsS[0]!).toBeCloseTo(40 / 3 + (25 ** 2 - 20 ** 2) / 60, 3);
    expect(speedAt(pass, 20)).toBeCloseTo(Math.sqrt(400 + 60 * (20 - 40 / 3)), 3);
    expect(Math.abs(pass.lowestRpm - 1250)).toBeLessThan(2);
    expect(pass.highestRpm).toBeCloseTo(2500, 3);
    evenly(pass);
  });

  test('a converter multiplies at stall, and follows 3 % behind once it has caught up', () => {
    const car = { ...withPower(steady, 30e3), launch: { engineSpeedRpm: 2000, riseS: 0, stallTorqueRatio: 1.8 } };
    const pass = simulatePass(car, level);
    expect(speedAt(pass, 0.02) / 0.02).toBeCloseTo(1.8 * 1.5, 1);
    // Far above the stall speed its torque is the engine's, at 3 % more engine speed: power over 1.03.
    const [a, b] = [pass.trace.timeS.length - 200, pass.trace.timeS.length - 1];
    const gained = (pass.trace.speedMps[b]! ** 2 - pass.trace.speedMps[a]! ** 2) / 2 / (pass.trace.timeS[b]! - pass.trace.timeS[a]!);
    expect(gained).toBeLessThan(30 / 1.03);
    expect(gained).toBeGreaterThan(0.97 * (30 / 1.03));
  });

  test('grip holds until power is spent: a = μ g up to P/(m μ g)', () => {
    const pass = simulatePass({ ...withPower(steady, 100e3), grip: { frictionCoefficient: 0.5, drivenShare: 0.8, transfer: 0 } }, level);
    const acceleration = 0.4 * gravity;
    const until = 100e3 / (1000 * acceleration) / acceleration;
    expect(Math.abs(pass.gripLimitedS - until)).toBeLessThan(0.021);
    expect(speedAt(pass, 5)).toBeCloseTo(5 * acceleration, 6);
  });

  test.each([
    [0.6, 0.4],
    [0.2, 0.5],
  ])('a shift: no force in the hole of %s s, then a straight line back within %s s', (holeS, returnS) => {
    const gears = [100, 80].map((rpmPerMps) => ({ rpmPerMps, rotatingFactor: 1 }));
    const car = {
      ...withPower(steady, 100e3),
      gears,
      shift: { engineSpeedRpm: 2000, holeS, returnS },
      rollingCoefficient: 0.01,
      neutralRotatingFactor: 1.25,
    };
    const pass = simulatePass(car, level);
    expect(pass.shiftsS).toHaveLength(1);
    const at = pass.shiftsS[0]!;
    // 20 m/s is 2000 rpm; in the hole only rolling resistance acts, on the mass and what still spins.
    expect(speedAt(pass, at)).toBeCloseTo(20, 6);
    const after = 20 - (0.01 * gravity * holeS) / 1.25;
    expect(speedAt(pass, at + holeS)).toBeCloseTo(after, 6);
    // ∫ P/(m v) · t/T dt over the T s of the return: v² grows by P · T/m, less rolling resistance; half of the way back by a quarter of it.
    const back = (share: number): number =>
      after ** 2 + (100e3 * returnS * share ** 2) / 1000 - 2 * 0.01 * gravity * after * returnS * share;
    expect(Math.abs(speedAt(pass, at + holeS + returnS) ** 2 - back(1))).toBeLessThan(0.2);
    expect(Math.abs(speedAt(pass, at + holeS + returnS / 2) ** 2 - back(0.5))).toBeLessThan(0.2);
    expect(pass.highestRpm).toBeGreaterThan(2000);
    evenly(pass);
  });

  test('shifts at given speeds, and none where none is given', () => {
    const gears = [100, 90, 80].map((rpmPerMps) => ({ rpmPerMps, rotatingFactor: 1 }));
    const car = { ...steady, gears, shift: { engineSpeedRpm: 1, holeS: 0.2, returnS: 0 } };
    const pass = simulatePass(car, level, { shiftAtMps: [12] });
    expect(pass.shiftsS).toHaveLength(1);
    expect(speedAt(pass, pass.shiftsS[0]!)).toBeCloseTo(12, 6);
    // 12 s after the first movement, 11 s after a clock that starts 0.5 m on.
    expect(simulatePass(car, { ...level, rollOutM: 0.5 }, { shiftAtMps: [12] }).shiftsS[0]!).toBeCloseTo(11, 6);
    evenly(pass);
    // Without force for 0.2 s, then 900 N: 10 W for every rpm at 90 rpm a m/s.
    expect(speedAt(pass, 22.2)).toBeCloseTo(12 + 0.9 * 10, 5);
  });

  test.each([
    ['mass', { massKg: 0 }, {}],
    ['mass that is no number', { massKg: Number.NaN }, {}],
    ['drag area', { dragAreaM2: Number.POSITIVE_INFINITY }, {}],
    ['rolling resistance', { rollingCoefficient: Number.NaN }, {}],
    ['grip', { grip: { ...steady.grip, frictionCoefficient: 0 } }, {}],
    ['share of weight', { grip: { ...steady.grip, drivenShare: Number.NaN } }, {}],
    ['tipping over', { grip: { frictionCoefficient: 2, drivenShare: 1, transfer: 0.5 } }, {}],
    ['transfer', { grip: { ...steady.grip, transfer: Number.NaN } }, {}],
    ['no gear', { gears: [] }, {}],
    ['a gear without a ratio', { gears: [{ rpmPerMps: Number.NaN, rotatingFactor: 1 }] }, {}],
    ['a gear of ratio 0', { gears: [{ rpmPerMps: 0, rotatingFactor: 1 }] }, {}],
    ['a gear without a rotating factor', { gears: [{ rpmPerMps: 100, rotatingFactor: Number.NaN }] }, {}],
    ['an open clutch without a rotating factor', { neutralRotatingFactor: Number.NaN }, {}],
    ['a return of the force that is no time', { shift: { ...steady.shift, returnS: Number.NaN } }, {}],
    ['launch speed', { launch: { ...steady.launch, engineSpeedRpm: 0 } }, {}],
    ['rise', { launch: { ...steady.launch, riseS: Number.NaN } }, {}],
    ['hole', { shift: { ...steady.shift, holeS: -0.1 } }, {}],
    ['density', {}, { airDensityKgPerM3: Number.NaN }],
    ['wind', {}, { windMps: Number.NaN }],
    ['grade', {}, { grade: Number.NaN }],
    ['roll-out', {}, { rollOutM: -0.1 }],
  ])('refuses %s', (_, car, day) => {
    expect(() => simulatePass({ ...steady, ...car }, { ...level, ...day })).toThrow(
      /must be finite and positive, and the car must not tip over\. Check mass, launch and gears\. \[E_STRIP_INPUT\]/,
    );
  });
  test('refuses a step of nothing, and a car that never arrives', () => {
    expect(() => simulatePass(steady, level, { stepS: 0 })).toThrow('[E_STRIP_INPUT]');
    expect(() => simulatePass(steady, { ...level, grade: 0.2 })).toThrow(
      'the car does not reach the end within 120 s. Check power, mass and gears. [E_STRIP_INPUT]',
    );
  });
});

describe('closed forms and rules', () => {
  test('grip alone is uniform acceleration: v² = 2 μ g s', () => {
    const { elapsedTimeS, speedMps } = constantPower(1000, 1e9, { gripShare: 0.5, distanceM: 200 });
    expect(elapsedTimeS).toBeCloseTo(Math.sqrt(400 / (0.5 * gravity)), 9);
    expect(speedMps).toBeCloseTo(Math.sqrt(gravity * 200), 9);
  });
  test.each([0, -1, Number.NaN])('a grip of %s is refused in words', (gripShare) => {
    expect(() => constantPower(1600, 100e3, { gripShare })).toThrow(
      `mass 1600 kg, power 100000 W, distance 402.336 m and grip ${gripShare} must be positive. Check mass, power and grip. [E_STRIP_INPUT]`,
    );
  });
  test('a rule says which number it cannot use', () => {
    const { hale } = quarterMileRules;
    expect(() => estimateQuarterMile(0, 1, hale)).toThrow('mass must be a positive number, given 0. Check the units. [E_STRIP_INPUT]');
    expect(() => estimateQuarterMile(1, Number.NaN, hale)).toThrow('power must be a positive number, given NaN.');
    expect(() => powerFromTrapSpeed(-1, 1, hale)).toThrow('mass must be a positive number, given -1.');
    expect(() => powerFromTrapSpeed(1, 0, hale)).toThrow('trap speed must be a positive number, given 0.');
  });
});
