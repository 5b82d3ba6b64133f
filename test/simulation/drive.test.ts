import { describe, expect, it } from 'vitest';
import {
  type Car,
  type Drive,
  drive,
  effectiveMassKg,
  roadLoadN,
  rpmPerMps,
  simulatePull,
  smoothPower,
} from '../../packages/simulation/src/index.js';

const car: Car = {
  massKg: 1610,
  dragAreaM2: 0.69,
  rollingCoefficient: 0.0125,
  tyreRadiusM: 0.316,
  gearRatios: [3.27, 2.05, 1.41, 1, 0.78],
  finalDrive: 3.64,
  wheelInertiaKgM2: 4.4,
  engineInertiaKgM2: 0.22,
  idleRpm: 820,
  engineBrakingNm: 45,
  slipPerWeight: 0,
};
const around = { airDensityKgPerM3: 1.17, headwindMps: 1.5, grade: 0.002 };
const power = smoothPower([
  [1000, 32e3],
  [2500, 92e3],
  [4000, 160e3],
  [5500, 202e3],
  [6500, 200e3],
  [7500, 178e3],
]);
const engine = { fullLoadWheelPowerW: power };
const at = (d: Drive, name: string, i: number): number => d.channels.get(name)![i]!;

/** Largest difference, as a share, between power put in and power read back from v(t) by a central difference. */
function readBack(d: Drive, car: Car, wanted: (rpm: number) => number): number {
  const mark = d.marks[0]!;
  const massKg = effectiveMassKg(car, mark.gear!);
  let worst = 0;
  for (let i = Math.ceil(mark.fullFromS! / d.stepS) + 2; i * d.stepS < mark.endS - 2 * d.stepS; i++) {
    // Five-point first derivative, fourth order.
    const v = (k: number): number => at(d, 'speedMps', i + k);
    const a = (v(-2) - 8 * v(-1) + 8 * v(1) - v(2)) / (12 * d.stepS);
    const readW = (massKg * a + roadLoadN(car, around, v(0))) * v(0);
    worst = Math.max(worst, Math.abs(readW / wanted(at(d, 'engineSpeedRpm', i)) - 1));
  }
  return worst;
}

describe('drive', () => {
  it('gives back at the wheels exactly the power that was put in', () => {
    const d = simulatePull(car, around, engine, { gear: 3, fromRpm: 2400, toRpm: 6600, scale: 1.013, tilt: 0.004 });
    expect(readBack(d, car, (rpm) => 1.013 * (1 + (0.004 * (rpm - 4500)) / 2100) * power(rpm))).toBeLessThan(1e-7);
    const slipping = { ...car, slipPerWeight: 0.06 };
    const slipped = simulatePull(slipping, around, engine, { gear: 3, fromRpm: 2400, toRpm: 6600 });
    expect(readBack(slipped, slipping, power)).toBeLessThan(1e-6);
  });

  it('slip lets the engine and the driven wheels run ahead of the ground together', () => {
    const slipping = { ...car, slipPerWeight: 0.06 };
    const d = simulatePull(slipping, around, engine, { gear: 3, fromRpm: 2400, toRpm: 6600 });
    const i = Math.round(6 / d.stepS);
    expect(at(d, 'engineSpeedRpm', i)).toBeCloseTo(rpmPerMps(car, 3) * at(d, 'drivenWheelSpeedMps', i), 8);
    const forceN = at(d, 'wheelPowerW', i) / at(d, 'speedMps', i);
    expect(at(d, 'drivenWheelSpeedMps', i) / at(d, 'speedMps', i) - 1).toBeCloseTo((0.06 * forceN) / (1610 * 9.80665), 12);
    expect(forceN).toBeGreaterThan(3000);
  });

  it('a step of 10 ms is already far finer than any logger', () => {
    const pull = { gear: 3, fromRpm: 2400, toRpm: 6600 };
    const coarse = simulatePull(car, around, engine, pull, { stepS: 0.01 });
    const fine = simulatePull(car, around, engine, pull, { stepS: 0.001 });
    const endS = coarse.marks[0]!.endS - 0.02;
    for (let t = 2; t < endS; t += 0.5) {
      expect(Math.abs(at(coarse, 'speedMps', Math.round(t / 0.01)) - at(fine, 'speedMps', Math.round(t / 0.001)))).toBeLessThan(1e-8);
    }
    // Fourth order: a step half as long leaves about a sixteenth of the error.
    const gap = (stepS: number): number => {
      const d = simulatePull(car, around, engine, pull, { stepS });
      return Math.abs(at(d, 'speedMps', Math.round(8 / stepS)) - at(fine, 'speedMps', 8000));
    };
    expect(gap(0.02) / gap(0.01)).toBeGreaterThan(8);
  });

  it('constant power without losses: v² grows by 2 P t / m', () => {
    const bare = { ...car, dragAreaM2: 0, rollingCoefficient: 0, wheelInertiaKgM2: 0, engineInertiaKgM2: 0 };
    const still = { airDensityKgPerM3: 1.2, headwindMps: 0, grade: 0 };
    const d = simulatePull(bare, still, { fullLoadWheelPowerW: () => 150e3 }, { gear: 3, fromRpm: 2500, toRpm: 6500 });
    const [i, j] = [Math.round(2.5 / d.stepS), Math.round(6.5 / d.stepS)];
    const gained = at(d, 'speedMps', j) ** 2 - at(d, 'speedMps', i) ** 2;
    expect(gained).toBeCloseTo((2 * 150e3 * 4) / 1610, 7);
  });

  // Source: 40 CFR 86.529-98, figure F98-9: equivalent inertial mass kg, force coefficients A in N and C in N/(km/h)², time from 70 to 60 km/h in s.
  it.each([
    [100, 0, 0.0224, 2.95],
    [200, 8.69, 0.0252, 4.85],
    [300, 17.43, 0.0279, 6.18],
  ])('rolls out as the federal motorcycle table says: %f kg', (massKg, a, c, seconds) => {
    const rho = 1.2;
    const rolling = {
      ...car,
      massKg,
      rollingCoefficient: a / (massKg * 9.80665),
      dragAreaM2: (2 * c * 3.6 ** 2) / rho,
      wheelInertiaKgM2: 0,
    };
    const still = { airDensityKgPerM3: rho, headwindMps: 0, grade: 0 };
    const d = drive(rolling, still, engine, [{ kind: 'coast', fromSpeedMps: 75 / 3.6, toSpeedMps: 55 / 3.6 }]);
    const crossing = (speed: number): number => {
      const v = d.channels.get('speedMps')!;
      const i = v.findIndex((x) => x < speed);
      return (i - (speed - v[i]!) / (v[i - 1]! - v[i]!)) * d.stepS;
    };
    expect(Math.abs(crossing(60 / 3.6) - crossing(70 / 3.6) - seconds)).toBeLessThan(0.01);
  });

  it('drives phases in order: nothing turns before the start, idle idles, a pull is full pedal from its first engine speed to its last', () => {
    const d = drive(car, around, engine, [
      { kind: 'key-on', durationS: 3 },
      { kind: 'idle', durationS: 6 },
      { kind: 'cruise', durationS: 8, speedMps: 24, gear: 4, wanderMps: 0.1 },
      { kind: 'pull', gear: 3, fromRpm: 2400, toRpm: 6600, nextGears: [{ gear: 4, toRpm: 5500, holeS: 0.35 }] },
      { kind: 'coast', fromSpeedMps: 30, toSpeedMps: 28 },
    ]);
    expect(d.marks.map((mark) => mark.kind)).toEqual(['key-on', 'idle', 'cruise', 'pull', 'coast']);
    const [key, idle, cruise, pull, coast] = d.marks.map(
      (mark) => [Math.round(mark.startS / d.stepS), Math.round(mark.endS / d.stepS)] as const,
    );
    const slice = (name: string, [from, to]: readonly [number, number]): Float64Array => d.channels.get(name)!.subarray(from, to);
    expect(Math.max(...slice('engineSpeedRpm', key!))).toBe(0);
    expect(Math.max(...slice('speedMps', idle!))).toBeLessThan(1e-9);
    expect(Math.abs(slice('engineSpeedRpm', idle!).at(-1)! - 820)).toBeLessThan(20);
    expect(Math.max(...slice('speedMps', cruise!).map((v) => Math.abs(v - 24)))).toBeLessThan(0.15);
    const pedal = slice('pedal', pull!);
    const gear = slice('gear', pull!);
    expect(slice('engineSpeedRpm', pull!)[0]!).toBeCloseTo(2400, -1);
    expect(gear.filter((g) => g === 0).length * d.stepS).toBeCloseTo(0.35, 6);
    expect(pedal.at(-1)).toBe(1);
    // In neutral the engine no longer moves with the car.
    expect(slice('wheelPowerW', coast!).every((w) => w === 0)).toBe(true);
    expect(slice('engineSpeedRpm', coast!).at(-1)!).toBeLessThan(850);
    // Speed never jumps: no step changes it by more than hard braking or full load could.
    const v = d.channels.get('speedMps')!;
    for (let i = 1; i < v.length; i++) expect(Math.abs(v[i]! - v[i - 1]!)).toBeLessThan(0.03);
  });

  it('a pass runs its length, and its kinetic energy at the end is what the wheels were given less the losses', () => {
    const phases = [
      { kind: 'pass', launchRpm: 3200, shiftRpm: 6500, holeS: 0.3, gripShare: 0.5, rolloutM: 0.25, lengthM: 402.336 },
    ] as const;
    const d = drive(car, around, engine, phases, { stepS: 0.001 });
    const mark = d.marks[0]!;
    const [from, to] = [Math.round(mark.startS / d.stepS), Math.round(mark.endS / d.stepS)];
    expect(Math.abs(at(d, 'distanceM', to) - at(d, 'distanceM', from) - 402.586)).toBeLessThan(0.3);
    expect(mark.endS - mark.startS).toBeGreaterThan(12);
    expect(mark.endS - mark.startS).toBeLessThan(17);
    let workJ = 0;
    for (let i = from; i < to; i++) {
      const v = at(d, 'speedMps', i);
      // At their grip the tyres push the car alone; behind a slipping clutch the engine does not speed up.
      const gripped = Math.abs(at(d, 'wheelPowerW', i) / v / (0.5 * 9.80665 * car.massKg) - 1) < 1e-9;
      const slipping = at(d, 'gear', i) === 1 && rpmPerMps(car, 1) * v < 3200;
      const massKg = gripped ? car.massKg : effectiveMassKg(car, slipping ? 0 : at(d, 'gear', i));
      if (v === 0) continue;
      workJ += ((at(d, 'wheelPowerW', i) - roadLoadN(car, around, v) * v) * d.stepS) / massKg;
    }
    // Per kilogram of moving mass; a left-hand sum over 1 ms steps is good to two parts in ten thousand.
    expect(workJ / (at(d, 'speedMps', to) ** 2 / 2)).toBeCloseTo(1, 3);
    // While the tyres are at their grip the speed grows on a straight line, less the road load: 0.5 g · 1 s.
    const second = Math.round(1 / d.stepS);
    const grippedMps = (0.5 * 9.80665 * 1610 - roadLoadN(car, around, 2)) / car.massKg;
    expect(at(d, 'speedMps', from + second)).toBeCloseTo(grippedMps, 2);
  });

  it('refuses what it cannot drive', () => {
    expect(() => simulatePull(car, around, engine, { gear: 6, fromRpm: 2400, toRpm: 6600 })).toThrow(/gear must be 1 to 5/);
    expect(() => simulatePull(car, around, engine, { gear: 3, fromRpm: 4000, toRpm: 3000 })).toThrow(/end above its start/);
    expect(() => simulatePull(car, around, { fullLoadWheelPowerW: () => 5e3 }, { gear: 3, fromRpm: 2400, toRpm: 6600 })).toThrow(
      /still at/,
    );
    expect(() => drive(car, around, engine, [], { stepS: 0.1 })).toThrow(RangeError);
  });
});

describe('a road that is not level', () => {
  const hill = (distanceM: number): number => 0.01 + 0.01 * Math.sin(distanceM / 120);
  const uneven = { ...around, grade: 0, gradeAt: hill };
  const pull = { gear: 3, fromRpm: 2400, toRpm: 6600 };

  it('climbs what its grade says: the altitude is the integral of the sine of the slope', () => {
    const d = simulatePull(car, uneven, engine, pull);
    let altitudeM = 0;
    for (let i = 1; i < d.samples; i++) {
      const middle = (at(d, 'distanceM', i) + at(d, 'distanceM', i - 1)) / 2;
      altitudeM += (at(d, 'distanceM', i) - at(d, 'distanceM', i - 1)) * Math.sin(Math.atan(hill(middle)));
    }
    expect(altitudeM).toBeGreaterThan(2);
    expect(at(d, 'altitudeM', d.samples - 1)).toBeCloseTo(altitudeM, 3);
  });

  it('costs the weight lifted: work of the wheels is kinetic energy, height and the resistance', () => {
    const d = simulatePull(car, uneven, engine, pull, { stepS: 0.002 });
    const mark = d.marks[0]!;
    const [a, b] = [mark.fullFromS!, mark.endS - 0.05].map((t) => Math.round(t / d.stepS)) as [number, number];
    let workJ = 0;
    let lostJ = 0;
    for (let i = a; i < b; i++) {
      workJ += (d.stepS * (at(d, 'wheelPowerW', i) + at(d, 'wheelPowerW', i + 1))) / 2;
      const speed = (at(d, 'speedMps', i) + at(d, 'speedMps', i + 1)) / 2;
      const rolling = car.massKg * 9.80665 * car.rollingCoefficient;
      lostJ += d.stepS * speed * (0.5 * around.airDensityKgPerM3 * car.dragAreaM2 * (speed + around.headwindMps) ** 2 + rolling);
    }
    const kineticJ = 0.5 * effectiveMassKg(car, 3) * (at(d, 'speedMps', b) ** 2 - at(d, 'speedMps', a) ** 2);
    const heightJ = car.massKg * 9.80665 * (at(d, 'altitudeM', b) - at(d, 'altitudeM', a));
    expect(heightJ / workJ).toBeGreaterThan(0.02);
    expect(Math.abs((kineticJ + heightJ + lostJ) / workJ - 1)).toBeLessThan(1e-4);
  });
});
