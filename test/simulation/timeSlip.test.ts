import { describe, expect, it } from 'vitest';
import { type Car, drive, type Pass, type TimeSlip, timeSlip } from '../../packages/simulation/src/index.js';

/** One endless gear, no rotating parts: the strip's textbook car of 1600 kg and 250 kW. */
const car: Car = {
  massKg: 1600,
  dragAreaM2: 0,
  rollingCoefficient: 0,
  tyreRadiusM: 0.32,
  gearRatios: [1],
  finalDrive: 3,
  wheelInertiaKgM2: 0,
  engineInertiaKgM2: 0,
  idleRpm: 800,
  engineBrakingNm: 0,
  slipPerWeight: 0,
};
const air = { airDensityKgPerM3: 1.2, headwindMps: 0, grade: 0 };
const engine = { fullLoadWheelPowerW: () => 250e3 };
const pass: Pass = { kind: 'pass', launchRpm: 1e-3, shiftRpm: 1e9, holeS: 0.3, gripShare: 0.9, rolloutM: 0, lengthM: 402.336 };
const slip = (over: Partial<Car>, passed: Pass): TimeSlip => {
  const d = drive({ ...car, ...over }, air, engine, [passed], { stepS: 0.001 });
  return timeSlip(d, d.marks[0]!, passed.rolloutM);
};
const last = (s: TimeSlip): number => s.times.at(-1)!.timeS;
const mph = (mps: number): number => mps / 0.44704;

describe('timeSlip', () => {
  it('constant grip, then constant power, no losses: the closed form', () => {
    // Source: closed form: v₁ = P/(m μ g), t = t₁ + m (v² − v₁²)/(2P), v³ = v₁³ + 3P(x − x₁)/m; 11.4232 s at μ 0.9, 13.1624 s at 0.5.
    expect(last(slip({}, pass))).toBeCloseTo(11.4232, 3);
    expect(last(slip({}, { ...pass, gripShare: 0.5 }))).toBeCloseTo(13.1624, 3);
  });

  it('with drag and rolling: splits of an independent calculation', () => {
    // Source: computed independently (Python, RK4 of 1 ms checked against 0.2 ms) for drag area 0.65 m², rolling 0.012, air 1.2 kg/m³.
    const s = slip({ dragAreaM2: 0.65, rollingCoefficient: 0.012 }, pass);
    [2.0509, 5.0666, 7.6182, 9.8358, 11.7192].forEach((timeS, i) => {
      expect(Math.abs(s.times[i]!.timeS - timeS)).toBeLessThan(1e-3);
    });
    expect(mph(s.speeds[1]!.speedMps)).toBeCloseTo(119.574, 1);
  });

  it('the clock starts after the roll-out', () => {
    // Source: as above with a roll-out of 0.3048 m and distances from there.
    const s = slip({ dragAreaM2: 0.65, rollingCoefficient: 0.012 }, { ...pass, rolloutM: 0.3048 });
    [1.8034, 4.8108, 7.3606, 9.5774, 11.4602].forEach((timeS, i) => {
      expect(Math.abs(s.times[i]!.timeS - timeS)).toBeLessThan(1e-3);
    });
    expect(mph(s.speeds[1]!.speedMps)).toBeCloseTo(119.601, 1);
    // Roll-out at a constant 0.9 g: √(2 s / a) = 0.2628 s, a little longer with rolling resistance.
    const d = drive(car, air, engine, [{ ...pass, rolloutM: 0.3048 }], { stepS: 0.001 });
    expect(timeSlip(d, d.marks[0]!, 0.3048).clockStartS - d.marks[0]!.startS).toBeCloseTo(0.2628, 3);
  });

  it('shifts cost what they should', () => {
    // Source: as above with 0.3 s without force at 20, 33 and 45 m/s: 11.834 s, 116.55 mph. Here shifts fall at one engine speed, so the
    // gears are chosen to bring it at those road speeds; the return of force takes 80 ms more, worth about half of that in each hole.
    const at = (mps: number): number => (6000 * Math.PI * 0.32) / (30 * 3 * mps);
    const geared = { dragAreaM2: 0.65, rollingCoefficient: 0.012, gearRatios: [at(20), at(33), at(45), at(80)] };
    const shifting: Pass = { ...pass, rolloutM: 0.3048, shiftRpm: 6000, holeS: 0.26 };
    const s = slip(geared, shifting);
    expect(Math.abs(last(s) - 11.834)).toBeLessThan(0.01);
    expect(Math.abs(mph(s.speeds[1]!.speedMps) - 116.55)).toBeLessThan(0.1);
  });

  it('refuses what is no pass and what stops short', () => {
    const d = drive(car, air, engine, [{ ...pass, lengthM: 300 }], { stepS: 0.005 });
    expect(() => timeSlip(d, d.marks[0]!, 0)).toThrow(/ends before/);
    expect(() => timeSlip(d, { ...d.marks[0]!, kind: 'idle' }, 0)).toThrow(/needs a pass/);
  });
});
