import { alignSlip, findChannel, findPass, freshSamples, readLog, type Slip } from '@pullproof/core';
import { describe, expect, test } from 'vitest';
import {
  type Car,
  drive,
  effectiveMassKg,
  type Phase,
  plainLogger,
  rpmPerMps,
  sampleLog,
  seededRandom,
  studyAir,
  studyCar,
  studyPowerW,
  timeSlip,
} from '../../../packages/simulation/src/index.js';

const gripShare = 0.62;
/** Eight per cent of spin at the launch, where the force is grip times weight. */
const car: Car = { ...studyCar, slipPerWeight: 0.08 / gripShare };
const rolloutM = 0.29;
const phases: Phase[] = [
  { kind: 'idle', durationS: 4 },
  { kind: 'cruise', durationS: 3, speedMps: 7, gear: 1 },
  { kind: 'idle', durationS: 6 },
  { kind: 'cruise', durationS: 2, speedMps: 1.5, gear: 1 },
  { kind: 'idle', durationS: 2 },
  { kind: 'pass', launchRpm: 3300, shiftRpm: 6500, holeS: 0.3, gripShare, rolloutM, lengthM: 404 },
  { kind: 'cruise', durationS: 30, speedMps: 14, gear: 3 },
  { kind: 'idle', durationS: 3 },
];
const driven = drive(car, studyAir, { fullLoadWheelPowerW: studyPowerW }, phases, { stepS: 0.005 });
const mark = driven.marks.find(({ kind }) => kind === 'pass')!;
// A burnout: the driven wheels spin while the car stands.
const firstIdle = driven.marks.filter(({ kind }) => kind === 'idle')[1]!;
const wheels = driven.channels.get('drivenWheelSpeedMps')!;
for (let i = Math.round((firstIdle.startS + 1) / 0.005); i < Math.round((firstIdle.startS + 4) / 0.005); i++) wheels[i] = 22;
/** The same with spin at the launch only: it dies away within the first second or two. */
const spun = driven.channels
  .get('speedMps')!
  .map((v, i) => v * (1 + 0.08 * Math.exp(-(Math.max(0, (i * 0.005 - mark.startS) / 0.8) ** 2))));
(driven.channels as Map<string, Float64Array>).set('launchSpinSpeedMps', spun);
const endAt = Math.round((mark.endS - 0.4) / 0.005);
const printed = timeSlip(driven, mark, rolloutM);
const slip: Slip = {
  timesS: Object.fromEntries(printed.times.map(({ mark: m, timeS }) => [m, Math.round(timeS * 1000) / 1000])),
  trapsMps: Object.fromEntries(printed.speeds.map(({ mark: m, speedMps }) => [m, Math.round((speedMps / 0.44704) * 100) * 0.0044704])),
};

/** Driving force over weight as the car's owner knows it. */
function forceShare(speedMps: number, accelerationMps2: number): number {
  const gear = [1, 2, 3, 4, 5].find((g) => rpmPerMps(car, g) * speedMps < 6500) ?? 5;
  const weightN = car.massKg * 9.80665;
  // The simulated tyre slips with its grip in first gear, and with what engine and gear give after that.
  const factor = gear === 1 ? 1 : effectiveMassKg(car, gear) / car.massKg;
  const load = 0.5 * studyAir.airDensityKgPerM3 * car.dragAreaM2 * speedMps ** 2 + weightN * car.rollingCoefficient;
  return (car.massKg * factor * accelerationMps2 + load) / weightN;
}

function aligned(source: string, rateHz: number, stepKmh: number, decimals: number, seed = 5) {
  const logger = plainLogger({
    rateHz,
    // The speed reads 1 % low and its clock is 20 ms late.
    roadSpeed: { source, gain: 1 / 1.01, lagS: 0.02, noise: 0.03, silentAtZero: true, step: stepKmh, decimals },
  });
  const log = readLog(new TextEncoder().encode(sampleLog(driven, logger, seededRandom(seed))), { path: 'pass.csv' });
  const channel = findChannel(log, 'road-speed')!;
  const { timeS, values } = freshSamples(log, channel);
  const speed = { timeS, speedMps: values };
  const pass = findPass(speed, slip)!;
  const options = { forceShare, drivenWheels: true, quantumMps: stepKmh / 3.6 };
  return { pass, result: alignSlip(speed, pass, slip, options)! };
}

describe('a slip laid beside its log', () => {
  test('the pass is found, not burnout, creep or return road', () => {
    const { pass } = aligned('drivenWheelSpeedMps', 25, 0.1, 1);
    expect(Math.abs(pass.restS - mark.startS)).toBeLessThan(0.15);
  });

  test.each([
    ['25 Hz, spin with the driving force', 'drivenWheelSpeedMps', 25, 0.1, 1, 0.03],
    ['25 Hz, spin at the launch', 'launchSpinSpeedMps', 25, 0.1, 1, 0.03],
    ['0.1 s and whole km/h, spin with the driving force', 'drivenWheelSpeedMps', 10, 1, 0, 0.05],
    ['0.1 s and whole km/h, spin at the launch', 'launchSpinSpeedMps', 10, 1, 0, 0.05],
  ])('%s: held-out splits within 0.02 s, the scale within 0.3 %%', (_name, source, rateHz, stepKmh, decimals, clockS) => {
    // Source: packages/simulation, which drove the car, printed the slip and recorded the log.
    const truth = (1.01 * driven.channels.get('speedMps')![endAt]!) / driven.channels.get(source)![endAt]!;
    for (let seed = 1; seed <= 8; seed++) {
      const { result } = aligned(source, rateHz, stepKmh, decimals, seed);
      expect(result.converged).toBe(true);
      for (const at of ['330ft', '1000ft'] as const) {
        const split = result.splits.find(({ mark: m }) => m === at)!;
        expect(split.usedInFit).toBe(false);
        expect(Math.abs(split.logS! - split.slipS!), at).toBeLessThan(0.02);
        expect(split.low!).toBeLessThan(split.slipS!);
        expect(split.high!).toBeGreaterThan(split.slipS!);
      }
      expect(Math.abs(result.speedScale.value - truth)).toBeLessThan(0.003);
      expect(Math.abs(result.clockStartS.value - (printed.clockStartS + 0.02))).toBeLessThan(clockS);
    }
  });

  test('a log without a pass has none', () => {
    const timeS = Float64Array.from({ length: 400 }, (_, i) => i / 10);
    expect(findPass({ timeS, speedMps: timeS.map(() => 14) }, slip)).toBeNull();
    expect(findPass({ timeS, speedMps: timeS.map((t) => (t < 5 ? 0 : 6)) }, slip)).toBeNull();
  });
});
