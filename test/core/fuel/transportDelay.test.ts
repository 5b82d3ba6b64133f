import { describe, expect, test } from 'vitest';
import { delaysAt, enteredDelay, estimateDelay, modelDelayS, removeDelay, steadyRows } from '../../../packages/core/src/fuel/index.js';
import { randomStream } from '../../../packages/core/src/maths/index.js';

describe('modelDelayS', () => {
  // Source: FORMULAS.md CK-6.9, computed: 3 L, 1100 K, 110 kPa, R 287.
  test.each([
    [0.006, 174.2],
    [0.05, 20.9],
    [0.2, 5.2],
  ])('CK-6.9: 3 L of pipe at %d kg/s', (flow, milliseconds) => {
    const parts = { pipeVolumeM3: 0.003, sensorLagS: 0, cycles: 0 };
    expect(1000 * modelDelayS(4000, flow, parts)).toBeCloseTo(milliseconds, 1);
  });

  test('the cycle and the sensor add to the pipe', () => {
    const all = modelDelayS(3000, 0.05, { pipeVolumeM3: 0.003, sensorLagS: 0.05, cycles: 1 });
    expect(all).toBeCloseTo(0.0209 + 0.04 + 0.05, 4);
  });
});

/** Commanded lambda in steps while engine speed rises and falls; lambda follows late, through a first-order sensor, with noise and a scale error. */
function drive(seed: number, options: { hz: number; fixedS: number; flowAt4000S: number; lagS: number; noise: number }) {
  const random = randomStream(seed);
  const n = 60 * options.hz;
  const fine = 20;
  const timeS = new Float64Array(n);
  const engineSpeedRpm = new Float64Array(n);
  const commanded = new Float64Array(n);
  const lambda = new Float64Array(n);
  const rpmAt = (t: number): number => 3500 + 2000 * Math.sin(t / 4);
  const steps = Array.from({ length: 60 }, () => 0.8 + 0.25 * random.uniform());
  const commandAt = (t: number): number => steps[Math.max(0, Math.min(59, Math.floor(t / 1.3 + 0.4 * Math.sin(t))))]!;
  let sensor = commandAt(0);
  for (let i = 0; i < n; i++) {
    timeS[i] = i / options.hz;
    for (let k = 0; k < fine; k++) {
      const t = (i + k / fine) / options.hz;
      const arrives = commandAt(t - options.fixedS - (options.flowAt4000S * 4000) / rpmAt(t));
      sensor += options.lagS > 0 ? (arrives - sensor) * (1 - Math.exp(-1 / (options.hz * fine * options.lagS))) : arrives - sensor;
      if (k === 0) lambda[i] = 1.03 * sensor + options.noise * random.normal();
    }
    engineSpeedRpm[i] = rpmAt(timeS[i]!);
    commanded[i] = commandAt(timeS[i]!);
  }
  return { timeS, lambda, commanded, engineSpeedRpm };
}

describe('estimateDelay', () => {
  test.each([10, 20, 50])('150 ms at 4,000 rpm, growing at low flow, within 30 ms from a log at %d Hz', (hz) => {
    for (let seed = 1; seed <= 8; seed++) {
      const log = drive(seed, { hz, fixedS: 0.05, flowAt4000S: 0.1, lagS: 0, noise: 0.01 });
      const found = estimateDelay(log.timeS, log.lambda, log.commanded, log.engineSpeedRpm);
      expect(found.delay, found.reason).not.toBeNull();
      const [at4000, at2000] = delaysAt(found.delay!, Float64Array.of(4000, 2000));
      expect(Math.abs(at4000! - 0.15)).toBeLessThan(0.03);
      expect(Math.abs(at2000! - 0.25)).toBeLessThan(0.05);
      expect(found.lowS!).toBeLessThanOrEqual(found.atMedianS!);
      expect(found.highS!).toBeGreaterThanOrEqual(found.atMedianS!);
    }
  });

  test('a sensor’s lag counts as delay', () => {
    for (let seed = 1; seed <= 5; seed++) {
      const log = drive(seed, { hz: 20, fixedS: 0.02, flowAt4000S: 0.08, lagS: 0.05, noise: 0.01 });
      const found = estimateDelay(log.timeS, log.lambda, log.commanded, log.engineSpeedRpm);
      expect(Math.abs(delaysAt(found.delay!, Float64Array.of(4000))[0]! - 0.15)).toBeLessThan(0.03);
    }
  });

  test('a lambda that follows nothing gives no delay', () => {
    const log = drive(3, { hz: 20, fixedS: 0, flowAt4000S: 0.1, lagS: 0, noise: 0.01 });
    const random = randomStream(9);
    const noise = log.lambda.map(() => 0.85 + 0.02 * random.normal());
    const found = estimateDelay(log.timeS, noise, log.commanded, log.engineSpeedRpm);
    expect(found.delay).toBeNull();
    expect(found.reason).toContain('No delay');
    expect(
      estimateDelay(
        log.timeS,
        log.lambda,
        log.commanded.map(() => 0.8),
        log.engineSpeedRpm,
      ).delay,
    ).toBeNull();
    expect(() => estimateDelay(log.timeS, log.lambda, new Float64Array(2), log.engineSpeedRpm)).toThrow('E_LENGTHS');
  });
});

test('removeDelay brings a reading back to its moment, and steadyRows leaves both ends out', () => {
  const timeS = Float64Array.from({ length: 41 }, (_, i) => i / 10);
  const values = timeS.map((t) => (t >= 2.3 ? 0.9 : 0.8));
  const delays = delaysAt(
    enteredDelay(0.3),
    timeS.map(() => 1),
  );
  const moved = removeDelay(timeS, values, delays);
  expect(moved[19]).toBeCloseTo(0.8, 9);
  expect(moved[20]).toBeCloseTo(0.9, 9);
  expect(moved[40]).toBeNaN();
  const steady = steadyRows(timeS, delays);
  expect([steady[4], steady[5], steady[37], steady[38]]).toEqual([0, 1, 1, 0]);
});
