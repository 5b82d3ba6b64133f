import { type Pass, type PassCar, powerTable, simulatePass, speedSpanS } from '@pullproof/core';
import { describe, expect, test } from 'vitest';
import {
  type Car,
  drive,
  effectiveMassKg,
  rpmPerMps,
  studyAir,
  studyCar,
  studyPowerW,
  timeSlip,
} from '../../../packages/simulation/src/index.js';
import { constantPowerCar, level } from './inventedCars.js';

const MPH = 0.44704;
const textbook = (over: Partial<PassCar> = {}): PassCar => ({ ...constantPowerCar, ...over });
const draggy = { dragAreaM2: 0.65, rollingCoefficient: 0.012 };
const et = (pass: Pass): number => pass.marks.at(-1)!.timeS;
const times = (pass: Pass): number[] => pass.marks.map((mark) => mark.timeS);

describe('simulatePass against published and independent values', () => {
  test.each([
    // Source: CK-8.7, closed form with a grip limit, no losses.
    [0.9, 11.4232, 57.0643],
    [0.5, 13.1624, 124.503 * MPH],
  ])('CK-8.7: grip %s', (frictionCoefficient, timeS, speedMps) => {
    const pass = simulatePass(textbook({ grip: { frictionCoefficient, drivenShare: 1, transfer: 0 } }), level);
    expect(Math.abs(et(pass) - timeS)).toBeLessThan(1e-3);
    expect(Math.abs(pass.terminalMps - speedMps)).toBeLessThan(5e-3);
  });

  test('CK-8.8: with drag and rolling', () => {
    // Source: CK-8.8, computed independently (Python, RK4 of 1 ms checked against 0.2 ms).
    const pass = simulatePass(textbook(draggy), level);
    [2.0509, 5.0666, 7.6182, 9.8358, 11.7192].forEach((timeS, i) => {
      expect(Math.abs(times(pass)[i]! - timeS)).toBeLessThan(1e-3);
    });
    expect(Math.abs(pass.terminalMps / MPH - 120.457)).toBeLessThan(0.01);
    expect(Math.abs(pass.marks[4]!.trapMps / MPH - 119.574)).toBeLessThan(0.01);
  });

  test('CK-8.9: the clock starts after the roll-out', () => {
    // Source: CK-8.9, as CK-8.8.
    const pass = simulatePass(textbook(draggy), { ...level, rollOutM: 0.3048 });
    [1.8034, 4.8108, 7.3606, 9.5774, 11.4602].forEach((timeS, i) => {
      expect(Math.abs(times(pass)[i]! - timeS)).toBeLessThan(1e-3);
    });
    expect(Math.abs(pass.marks[4]!.trapMps / MPH - 119.601)).toBeLessThan(0.01);
  });

  test('CK-8.10: three shifts of 0.3 s without torque', () => {
    // Source: CK-8.10, as CK-8.8.
    const gears = Array.from({ length: 4 }, () => ({ rpmPerMps: 100, rotatingFactor: 1 }));
    const car = textbook({ ...draggy, gears, shift: { engineSpeedRpm: 1, holeS: 0.3, returnS: 0 } });
    const pass = simulatePass(car, { ...level, rollOutM: 0.3048 }, { shiftAtMps: [20, 33, 45] });
    expect(Math.abs(et(pass) - 11.834)).toBeLessThan(2e-3);
    expect(Math.abs(pass.marks[4]!.trapMps / MPH - 116.55)).toBeLessThan(0.02);
  });

  test.each([
    // Source: CK-8.19, t = √(2s/a) and v = √(2 a s), a in g.
    [0.4, 0.3048, 0.3942, 1.546],
    [0.6, 0.3048, 0.3219, 1.894],
    [0.9, 0.3048, 0.2628, 2.32],
    [1.1, 0.3048, 0.2377, 2.564],
    [0.4, 0.2921, 0.3859, null],
    [1.1, 0.2921, 0.2327, null],
  ])('CK-8.19: roll-out at %s g over %s m', (frictionCoefficient, rollOutM, timeS, speedMps) => {
    const pass = simulatePass(textbook({ grip: { frictionCoefficient, drivenShare: 1, transfer: 0 } }), { ...level, rollOutM });
    expect(Math.abs(pass.clockStartS - timeS)).toBeLessThan(1e-4);
    if (speedMps !== null) expect(Math.abs(rollSpeed(pass) - speedMps)).toBeLessThan(1e-3);
  });

  test('grip limits the force at the road: spinning parts do not slow a launch that is all grip', () => {
    // Source: x = ½ μ g t²: 60 ft at 0.8 g take √(2 · 18.288/(0.8 · 9.80665)) = 2.159 s, whatever spins behind the tyre.
    const grip = { frictionCoefficient: 0.8, drivenShare: 1, transfer: 0 };
    for (const rotatingFactor of [1, 1.3]) {
      const gears = [{ rpmPerMps: 100, rotatingFactor }];
      const pass = simulatePass(textbook({ grip, gears, power: powerTable([0.5, 1e5], [2e6, 2e6]) }), level);
      expect(Math.abs(times(pass)[0]! - 2.159)).toBeLessThan(1e-3);
    }
  });

  test('behind a slipping clutch the engine’s own inertia takes nothing', () => {
    // Source: v = F t/m with the force of engine torque through the gear, up to the speed at which the clutch locks.
    const grip = { frictionCoefficient: 5, drivenShare: 1, transfer: 0 };
    const launch = { engineSpeedRpm: 3000, riseS: 0, stallTorqueRatio: null };
    const gears = [{ rpmPerMps: 300, rotatingFactor: 1.25 }];
    const pass = simulatePass(textbook({ grip, gears, launch, power: powerTable([1000, 9000], [100e3, 900e3]) }), level);
    const atMps = (v: number): number => pass.trace.timeS[pass.trace.speedMps.findIndex((s) => s >= v)]!;
    const forceN = (300e3 * 300) / 3000;
    expect(Math.abs(atMps(9) - (9 * 1600) / forceN)).toBeLessThan(0.03);
    // Locked, it takes a quarter more time for each metre per second.
    expect(Math.abs((atMps(18) - atMps(12)) / ((6 * 1600 * 1.25) / forceN) - 1)).toBeLessThan(0.08);
  });

  test('halving the step changes nothing that a slip could show', () => {
    const car = geared(studyCar, 0.8);
    const [coarse, fine] = [0.02, 0.0025].map((stepS) => simulatePass(car, { ...level, rollOutM: 0.3 }, { stepS })) as [Pass, Pass];
    times(coarse).forEach((t, i) => {
      expect(Math.abs(t - times(fine)[i]!)).toBeLessThan(3e-4);
    });
    expect(Math.abs(coarse.marks[4]!.trapMps - fine.marks[4]!.trapMps)).toBeLessThan(2e-3);
  });

  test.each([
    ['grip 0.55', studyCar, 0.55, 0.25, 0, studyAir],
    ['grip 0.9, headwind and slope', studyCar, 0.9, 0.35, 0, { ...studyAir, headwindMps: 3, grade: 0.004 }],
    ['grip 0.7, tailwind, light', { ...studyCar, massKg: 1250 }, 0.7, 0.15, 0, { ...studyAir, headwindMps: -2 }],
    ['a launch that still builds up at the first shift', studyCar, 0.9, 0.25, 1.5, studyAir],
  ] as const)('splits within 0.005 s and trap within 0.05 mph of the simulated car: %s', (_name, car, gripShare, holeS, riseS, around) => {
    // Source: packages/simulation, an integrator of its own with a step of 1 ms.
    const phase = { kind: 'pass', launchRpm: 3200, shiftRpm: 6500, holeS, riseS, gripShare, rolloutM: 0.3, lengthM: 402.4 } as const;
    const engine = { fullLoadWheelPowerW: studyPowerW };
    const driven = drive(car, around, engine, [phase], { stepS: 0.001 });
    const slip = timeSlip(driven, driven.marks[0]!, 0.3);
    const pass = simulatePass(geared(car, gripShare, holeS, riseS), {
      airDensityKgPerM3: around.airDensityKgPerM3,
      windMps: around.headwindMps,
      grade: around.grade,
      rollOutM: 0.3,
    });
    slip.times.forEach(({ mark, timeS }, i) => {
      expect(pass.marks[i]!.mark).toBe(mark);
      expect(Math.abs(pass.marks[i]!.timeS - timeS)).toBeLessThan(0.005);
    });
    expect(Math.abs(pass.marks[4]!.trapMps - slip.speeds[1]!.speedMps) / MPH).toBeLessThan(0.05);
    expect(Math.abs(pass.marks[2]!.trapMps - slip.speeds[0]!.speedMps) / MPH).toBeLessThan(0.05);
  });
});

describe('what a pass depends on', () => {
  const base = geared(studyCar, 0.6);
  const day = { ...level, rollOutM: 0.3 };

  test('weight transfer: F = μ (m g s + m a h/L), so a = μ g s/(1 − μ h/L) at rest with no losses', () => {
    // Source: T. D. Gillespie, Fundamentals of Vehicle Dynamics (SAE 1992), ch. 2, traction-limited acceleration.
    const grip = { frictionCoefficient: 0.9, drivenShare: 0.52, transfer: 0.5 / 2.7 };
    const a = (0.9 * 9.80665 * 0.52) / (1 - (0.9 * 0.5) / 2.7);
    const pass = simulatePass(textbook({ grip }), { ...level, rollOutM: 0.3048 });
    expect(pass.clockStartS).toBeCloseTo(Math.sqrt((2 * 0.3048) / a), 4);
    const front = simulatePass(textbook({ grip: { ...grip, transfer: -grip.transfer } }), { ...level, rollOutM: 0.3048 });
    expect(front.clockStartS).toBeGreaterThan(pass.clockStartS);
  });

  test.each([
    [
      'more power',
      {
        power: powerTable(
          [1000, 7500],
          [1000, 7500].map((n) => 1.2 * studyPowerW(n)),
        ),
      },
      'quicker',
    ],
    ['more mass', { massKg: 1700 }, 'slower'],
    ['more drag', { dragAreaM2: 0.9 }, 'slower'],
    ['longer shifts', { shift: { ...base.shift, holeS: 0.5 } }, 'slower'],
    ['slower launch', { launch: { ...base.launch, riseS: 0.4 } }, 'slower'],
    ['more grip', { grip: { ...base.grip, frictionCoefficient: 0.8 } }, 'quicker'],
  ] as const)('%s', (what, over, way) => {
    const from = what === 'more power' ? { ...base, power: powerTable([1000, 7500], [1000, 7500].map(studyPowerW)) } : base;
    const change = et(simulatePass({ ...base, ...over }, day)) - et(simulatePass(from, day));
    if (way === 'quicker') expect(change).toBeLessThan(-0.005);
    else expect(change).toBeGreaterThan(0.005);
  });

  test('a headwind and a climb cost time; a converter that multiplies torque gains it', () => {
    const flat = et(simulatePass(base, day));
    expect(et(simulatePass(base, { ...day, windMps: 5 }))).toBeGreaterThan(flat + 0.02);
    expect(et(simulatePass(base, { ...day, grade: 0.01 }))).toBeGreaterThan(flat + 0.05);
    const sticky = geared(studyCar, 1.5);
    const auto = (stallTorqueRatio: number): PassCar => ({ ...sticky, launch: { engineSpeedRpm: 2200, riseS: 0, stallTorqueRatio } });
    expect(et(simulatePass(auto(2), day))).toBeLessThan(et(simulatePass(auto(1.05), day)) - 0.05);
  });

  test('speed spans are read from the same run', () => {
    const pass = simulatePass(base, day);
    const span = speedSpanS(pass, 60 * MPH, 100 * MPH)!;
    const at = (v: number): number => pass.trace.timeS[pass.trace.speedMps.findIndex((s) => s >= v)]!;
    expect(Math.abs(span - (at(100 * MPH) - at(60 * MPH)))).toBeLessThan(0.03);
    expect(speedSpanS(pass, 60 * MPH, 200 * MPH)).toBeNull();
  });

  test('refuses what is no car', () => {
    expect(() => simulatePass({ ...base, massKg: Number.NaN }, day)).toThrow(/E_STRIP_INPUT/);
    expect(() => simulatePass({ ...base, grip: { frictionCoefficient: 3, drivenShare: 0.5, transfer: 0.4 } }, day)).toThrow(/tip over/);
    expect(() => simulatePass({ ...base, power: powerTable([1000, 7000], [10, 10]) }, day)).toThrow(/120 s/);
    expect(() => powerTable([1000], [1])).toThrow(/E_STRIP_CURVE/);
    expect(() => powerTable([2000, 1000], [1, 1])).toThrow(/rise/);
  });
});

function rollSpeed(pass: Pass): number {
  const i = pass.trace.timeS.findIndex((t) => t >= 0);
  const share = -pass.trace.timeS[i - 1]! / (pass.trace.timeS[i]! - pass.trace.timeS[i - 1]!);
  return pass.trace.speedMps[i - 1]! + share * (pass.trace.speedMps[i]! - pass.trace.speedMps[i - 1]!);
}

/** The simulated car as the product would describe it. */
function geared(car: Car, gripShare: number, holeS = 0.3, riseS = 0): PassCar {
  const rpm = curveGrid;
  return {
    massKg: car.massKg,
    dragAreaM2: car.dragAreaM2,
    rollingCoefficient: car.rollingCoefficient,
    neutralRotatingFactor: effectiveMassKg(car, 0) / car.massKg,
    gears: car.gearRatios.map((_, i) => ({
      rpmPerMps: rpmPerMps(car, i + 1),
      rotatingFactor: effectiveMassKg(car, i + 1) / car.massKg,
    })),
    power: powerTable(rpm, rpm.map(studyPowerW)),
    grip: { frictionCoefficient: gripShare, drivenShare: 1, transfer: 0 },
    launch: { engineSpeedRpm: 3200, riseS, stallTorqueRatio: null },
    shift: { engineSpeedRpm: 6500, holeS, returnS: 0.08 },
  };
}
const curveGrid = Array.from({ length: 131 }, (_, i) => 1000 + 50 * i);
