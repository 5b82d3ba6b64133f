import { describe, expect, it } from 'vitest';
import { type BSplineBasis, bSplineAt, bSplineBasis, randomStream } from '../../../packages/core/src/maths/index.js';
import { covers, gridOf, levelsOf, pullRange, withoutLevel } from '../../../packages/core/src/power/curveParts.js';
import {
  fitTorque,
  inputErrors,
  localTorque,
  type MotionPull,
  meanNoise,
  type PreparedPull,
  setupCurve,
  torqueGuess,
} from '../../../packages/core/src/power/index.js';
import { shapeOn } from '../../../packages/core/src/power/setupCurve.js';
import { pullLogTorque } from '../../../packages/core/src/power/torqueFit.js';
import { exactConditions, humped, plainPull, radPerSPerRpm, recordedPull } from './simulatedPull.js';

/** A pull without losses that follows `humped` times `scale`, read at 20 Hz with 3 rpm of noise; mass and wind are known within 16 kg and 1 m/s. */
function pull(seed: number, options: { scale?: number; toRpm?: number; windKey?: string } = {}): PreparedPull {
  const { scale = 1, toRpm = 6000, windKey = 'outing' } = options;
  const free: MotionPull = { ...plainPull, rotatingFactor: 1, dragKgPerM: 0, steadyN: 0, windMps: 0 };
  const exact = (value: number) => ({ value, spread: 0 });
  const conditions = {
    ...exactConditions,
    massKg: { value: 1600, spread: 16 },
    rotatingFactor: exact(1),
    airDensityKgPerM3: 1.2,
    dragAreaM2: exact(0.7),
    rollingCoefficient: exact(0),
    windMps: { value: 0, spread: 1 },
    windKey,
  };
  const motion = recordedPull(free, (rpm) => scale * humped(rpm), { seed, noiseRpm: 3, hz: 20, fromRpm: 2510, toRpm });
  return { motion, conditions, outingKey: 'day' };
}

const fitOf = (pulls: readonly PreparedPull[]) =>
  fitTorque([pulls.map(({ motion }) => motion)], [torqueGuess(pulls.flatMap(({ motion }) => localTorque(motion)))])[0]!;

describe('mean curve of a setup', () => {
  const pulls = [pull(1, { scale: 0.98 }), pull(2, { toRpm: 5000 }), pull(3, { scale: 1.02, windKey: 'other outing' })];
  const fitted = () => {
    const fit = fitOf(pulls);
    const curve = setupCurve(fit, pulls);
    return { fit, curve, points: curve.engineSpeedRpm.length, at: (rpm: number): number => curve.engineSpeedRpm.indexOf(rpm) };
  };

  it('stands on multiples of 50 rpm and is the power that drove the pulls, within 0.5 %', () => {
    const { curve, points, at } = fitted();
    expect(Array.from(curve.engineSpeedRpm)).toEqual(Array.from({ length: points }, (_, i) => curve.engineSpeedRpm[0]! + 50 * i));
    expect(curve.engineSpeedRpm[0]! % 50).toBe(0);
    // The mean of the logarithms of 0.98, 1 and 1.02 is that of 0.99987.
    for (const rpm of [2700, 3500, 4500, 5500, 5900]) {
      const truth = Math.cbrt(0.98 * 1.02) * humped(rpm) * rpm * radPerSPerRpm;
      expect(Math.abs(curve.wheelPowerW[at(rpm)]! / truth - 1)).toBeLessThan(0.005);
    }
  });

  it('is the mean of its pulls in logarithms, and each pull ends where its readings end', () => {
    const { fit, curve, at } = fitted();
    const rpm = 4000;
    const logs = pulls.map((_, p) => pullLogTorque(fit, p, rpm));
    expect(Math.log(curve.wheelPowerW[at(rpm)]! / (rpm * radPerSPerRpm))).toBeCloseTo(logs.reduce((sum, log) => sum + log, 0) / 3, 10);
    pulls.forEach((_, p) => {
      expect(curve.pullPowerW[p]![at(rpm)]!).toBeCloseTo(Math.exp(logs[p]!) * rpm * radPerSPerRpm, 6);
    });
    expect([curve.pullCount[at(4000)], curve.pullCount[at(5500)]]).toEqual([3, 2]);
    expect(curve.pullPowerW[1]![at(5500)]).toBeNaN();
    expect(curve.pullLevels[2]! - curve.pullLevels[0]!).toBeCloseTo(Math.log(1.02 / 0.98), 2);
  });

  // The variance of a point is that of the level and of the shape; their covariance is in the row's mean. Oracle: the fit's own row by row noise.
  it('has a noise of shape whose every row sums to what repeats, and with the level that of the fit', () => {
    const { fit, curve, points } = fitted();
    let shown = 0;
    let whole = 0;
    for (let i = 0; i < points; i++) {
      let row = 0;
      for (let j = 0; j < points; j++) row += curve.noiseCovariance[i * points + j]! / points;
      shown += curve.noiseCovariance[i * points + i]! / points;
      whole += meanNoise(fit, curve.engineSpeedRpm[i]!) ** 2 / points;
      // Share of the mean's variance that n readings with correlation ρ have in common: n ρ / (1 + (n − 1) ρ); the rest is a third of a pull's.
      const shared = (3 * fit.repeatedNoise) / (1 + 2 * fit.repeatedNoise);
      expect(row * (1 - shared)).toBeCloseTo((shared * curve.levelNoiseVariance) / 3, 12);
    }
    expect(shown + curve.levelNoiseVariance / 3).toBeCloseTo(whole, 10);
  });

  it('with errors that repeat by half keeps three quarters of the level variance of three pulls', () => {
    const { fit, points } = fitted();
    const level = setupCurve({ ...fit, repeatedNoise: 0 }, pulls).levelNoiseVariance / 3;
    const half = setupCurve({ ...fit, repeatedNoise: 0.5 }, pulls);
    expect(half.levelNoiseVariance / (0.25 * 3 * level)).toBeCloseTo(1, 10);
    const rowSum = half.noiseCovariance.subarray(0, points).reduce((sum, value) => sum + value, 0) / points;
    expect(rowSum / (0.75 * level)).toBeCloseTo(1, 8);
  });

  it('carries the inputs that its pulls share whole, and those of single pulls by their share of the pulls present', () => {
    const { curve, at } = fitted();
    const errors = inputErrors(curve);
    const shape = (name: string, key: string): number => curve.inputs.get(`${name}|${key}`)!.effectW[at(5500)]!;
    // What drag does not take is proportional to mass: 16 of 1600 kg are 1 % of it, here of the two pulls that reach 5500 rpm.
    const dragW = 0.5 * 1.2 * 0.7 * (5500 / 160) ** 3;
    const present = [0, 2].map((p) => curve.pullPowerW[p]![at(5500)]!);
    expect(shape('mass', 'car')).toBeCloseTo(0.01 * ((present[0]! + present[1]!) / 2 - dragW), 6);
    // ½ρC_dA 2 v · v for 1 m/s of wind, v 5500/160; one of the two pulls each.
    const windW = 0.5 * 1.2 * 0.7 * 2 * (5500 / 160) ** 2;
    expect(shape('wind', 'outing')).toBeCloseTo(windW / 2, 6);
    expect(shape('wind', 'other outing')).toBeCloseTo(windW / 2, 6);
    expect(curve.inputs.get('wind|outing')!.effectW[at(4000)]!).toBeCloseTo((2 / 3) * 0.5 * 1.2 * 0.7 * 2 * 25 ** 2, 6);
    expect(errors).toHaveLength(curve.inputs.size);
    const mass = errors.find(({ name }) => name === 'mass')!;
    expect(mass.degrees).toBe(Number.POSITIVE_INFINITY);
    expect(mass.shape).toEqual(curve.inputs.get('mass|car')!.effectW);
  });
});

describe('parts of a curve', () => {
  it('a level is taken out of a covariance as the projection on what is left after the mean does', () => {
    const points = 4;
    const stream = randomStream(7);
    const rows = Array.from({ length: points }, () => Array.from({ length: 6 }, () => stream.normal()));
    const product = (a: readonly number[], b: readonly number[]): number => a.reduce((sum, value, k) => sum + value * b[k]!, 0);
    const covariance = Float64Array.from({ length: points ** 2 }, (_, k) => product(rows[Math.floor(k / points)]!, rows[k % points]!));
    // x with covariance R Rᵀ is R z: its mean over the points is the mean row, and what is left are the rows less that.
    const mean = rows[0]!.map((_, k) => rows.reduce((sum, row) => sum + row[k]!, 0) / points);
    const left = rows.map((row) => row.map((value, k) => value - mean[k]!));
    const { covariance: out, levelVariance } = withoutLevel(covariance, points, 0.3);
    expect(levelVariance).toBeCloseTo(product(mean, mean), 12);
    out.forEach((value, k) => {
      expect(value).toBeCloseTo(product(left[Math.floor(k / points)]!, left[k % points]!) + 0.3 * levelVariance, 12);
    });
  });

  it('a grid holds what a third of the ranges hold, ends included', () => {
    const ranges = [
      { fromRpm: 2510, toRpm: 3000 },
      { fromRpm: 2600, toRpm: 2850 },
      { fromRpm: 2710, toRpm: 3100 },
      { fromRpm: 2450, toRpm: 2500 },
    ];
    // Two of four are needed: 2600 to 3000.
    expect(Array.from(gridOf(ranges))).toEqual([2600, 2650, 2700, 2750, 2800, 2850, 2900, 2950, 3000]);
    expect(Array.from(gridOf(ranges.slice(0, 1)))).toEqual([2550, 2600, 2650, 2700, 2750, 2800, 2850, 2900, 2950, 3000]);
    expect([2509, 2510, 3000, 3001].map((rpm) => covers(ranges[0]!, rpm))).toEqual([false, true, true, false]);
  });

  it('a pull reaches as far as its first channel, through its coupling where it has one', () => {
    const { motion } = pull(1);
    const first = { timeS: Float64Array.of(0, 1, 2), engineSpeedRpm: Float64Array.of(3000, 2900, 5000), noiseRpm: 1 };
    const second = { ...first, engineSpeedRpm: Float64Array.of(2000, 2900, 7000) };
    const held = { ...motion, spans: [[first, second]] };
    expect(pullRange(held)).toEqual({ fromRpm: 2900, toRpm: 5000 });
    const coupling = { engineRpm: (rpm: number) => 1000 + rpm, slope: () => 1, engineInertiaKgM2: 0.2 };
    expect(pullRange({ ...held, coupling })).toEqual({ fromRpm: 3900, toRpm: 6000 });
  });

  it('a level is the mean logarithm over the points that a pull has', () => {
    const mean = Float64Array.of(100, 200, 300);
    const levels = levelsOf([Float64Array.of(110, Number.NaN, 360), new Float64Array(3).fill(Number.NaN)], mean);
    expect(levels[0]!).toBeCloseTo((Math.log(1.1) + Math.log(1.2)) / 2, 12);
    expect(levels[1]!).toBeNaN();
  });

  it('a shape of independent coefficients has the covariance of the sum over its basis functions', () => {
    const basis: BSplineBasis = bSplineBasis(2000, 6000, 800);
    const grid = Float64Array.of(2000, 2450, 3600, 4000, 6000);
    const unit = (j: number, rpm: number): number =>
      bSplineAt(
        basis,
        Float64Array.from({ length: basis.size }, (_, k) => (k === j ? 1 : 0)),
        rpm,
      );
    shapeOn(basis, 0.02, grid).forEach((value, k) => {
      let sum = 0;
      for (let j = 0; j < basis.size; j++) sum += unit(j, grid[Math.floor(k / 5)]!) * unit(j, grid[k % 5]!);
      expect(value).toBeCloseTo(0.0004 * sum, 14);
    });
  });
});
