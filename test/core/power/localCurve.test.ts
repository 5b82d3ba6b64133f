import { describe, expect, it } from 'vitest';
import { bSplineBasis } from '../../../packages/core/src/maths/index.js';
import { withoutLevel } from '../../../packages/core/src/power/curveParts.js';
import { type LocalTorque, localCurve, localTorque, type MotionPull, type PreparedPull } from '../../../packages/core/src/power/index.js';
import { shapeOn } from '../../../packages/core/src/power/setupCurve.js';
import { exactConditions, humped, plainPull, radPerSPerRpm, recordedPull } from './simulatedPull.js';

/** A pull in still air, read at 25 Hz with 4 rpm of noise. */
function pull(seed: number, options: { scale?: number; toRpm?: number } = {}): PreparedPull {
  const { scale = 1, toRpm = 6500 } = options;
  const calm: MotionPull = { ...plainPull, windMps: 0 };
  const motion = recordedPull(calm, (rpm) => scale * humped(rpm), { seed, noiseRpm: 4, hz: 25, fromRpm: 2450, toRpm });
  return { motion, conditions: exactConditions, outingKey: 'day' };
}

const curveOf = (pulls: readonly PreparedPull[]) =>
  localCurve(
    pulls,
    pulls.map(({ motion }) => localTorque(motion)),
  );

describe('curve from local slopes', () => {
  it('has a band that holds the truth about as often as it says, point by point over 60 setups of three pulls', () => {
    let inside = 0;
    let points = 0;
    for (let seed = 0; seed < 60; seed++) {
      const curve = curveOf([1, 2, 3].map((k) => pull(10 * seed + k)))!;
      const size = curve.engineSpeedRpm.length;
      curve.engineSpeedRpm.forEach((rpm, i) => {
        const deviation = Math.sqrt(curve.noiseCovariance[i * size + i]! + curve.levelNoiseVariance / 3);
        const error = Math.log(curve.wheelPowerW[i]! / (humped(rpm) * rpm * radPerSPerRpm));
        if (Math.abs(error) <= 1.96 * deviation) inside++;
        points++;
      });
    }
    expect(inside / points).toBeGreaterThan(0.92);
    expect(inside / points).toBeLessThan(0.985);
  });

  it('does not bend where a stronger pull ends early, and finds its level', () => {
    const curve = curveOf([pull(1), pull(2), pull(3, { scale: 1.1, toRpm: 4500 })])!;
    // Mean of the logarithms of 1, 1 and 1.1 at every engine speed, also where only two pulls are left.
    const mean = 1.1 ** (1 / 3);
    for (const rpm of [3500, 5500]) {
      const i = curve.engineSpeedRpm.indexOf(rpm);
      expect(Math.abs(curve.wheelPowerW[i]! / (mean * humped(rpm) * rpm * radPerSPerRpm) - 1)).toBeLessThan(0.02);
    }
    expect(curve.pullLevels[2]! - curve.pullLevels[0]!).toBeCloseTo(Math.log(1.1), 1);
  });

  it('is no curve where no slope is clear of its noise', () => {
    const one = pull(1);
    const falling = one.motion.spans[0]![0]!.engineSpeedRpm.map((rpm) => 9000 - rpm);
    const coasting = { ...one, motion: { ...one.motion, spans: [[{ ...one.motion.spans[0]![0]!, engineSpeedRpm: falling }]] } };
    expect(curveOf([coasting])).toBeNull();
  });
});

describe('curve from given slopes', () => {
  /** Slopes of a pull every 25 rpm, 600 rpm a second, whose windows reach half a second each way. */
  function slopes(
    logTorque: (rpm: number) => number,
    options: { fromRpm?: number; toRpm?: number; noise?: number; late?: number } = {},
  ): LocalTorque[] {
    const { fromRpm = 3010, toRpm = 4990, noise = 0.001, late = 0 } = options;
    const out: LocalTorque[] = [];
    for (let rpm = fromRpm; rpm <= toRpm; rpm += 20) {
      const torqueNm = Math.exp(logTorque(rpm));
      const timeS = late + (rpm - fromRpm) / 600;
      out.push({ engineSpeedRpm: rpm, torqueNm, noiseNm: noise * torqueNm, timeS, halfWidthS: 0.5, rateRpmPerS: 600 });
    }
    return out;
  }
  const of = (...values: LocalTorque[][]) =>
    localCurve(
      values.map((_, i) => pull(i + 1)),
      values,
    );
  const flat = () => Math.log(250);
  const n = (fromRpm: number, toRpm: number): number[] => Array.from({ length: (toRpm - fromRpm) / 50 + 1 }, (_, i) => fromRpm + 50 * i);

  it('is the mean of logarithms, with the level of each pull against it', () => {
    const curve = of(
      slopes(() => Math.log(300)),
      slopes(() => Math.log(200)),
    )!;
    expect(Array.from(curve.engineSpeedRpm)).toEqual(n(3050, 4950));
    curve.engineSpeedRpm.forEach((rpm, i) => {
      expect(curve.wheelPowerW[i]! / (Math.sqrt(300 * 200) * rpm * radPerSPerRpm)).toBeCloseTo(1, 12);
      expect(curve.pullPowerW.map((own) => own[i]! / (rpm * radPerSPerRpm))).toEqual([expect.closeTo(300, 8), expect.closeTo(200, 8)]);
    });
    expect(Array.from(curve.pullLevels)).toEqual([expect.closeTo(Math.log(1.5) / 2, 10), expect.closeTo(-Math.log(1.5) / 2, 10)]);
    expect(new Set(curve.pullCount)).toEqual(new Set([2]));
  });

  it('is straight between slopes in the logarithm, from the lowest to the highest, in any order', () => {
    const rising = slopes((rpm) => 5 + rpm / 5000, { fromRpm: 3000, toRpm: 4000 });
    const curve = of([...rising].reverse())!;
    expect(Array.from(curve.engineSpeedRpm)).toEqual(n(3000, 4000));
    curve.engineSpeedRpm.forEach((rpm, i) => {
      expect(Math.log(curve.wheelPowerW[i]! / (rpm * radPerSPerRpm))).toBeCloseTo(5 + rpm / 5000, 9);
    });
  });

  it('keeps its level where a pull ends early, to what twelve rounds leave', () => {
    const curve = of(
      slopes(() => Math.log(300)),
      slopes(() => Math.log(200), { toRpm: 4010 }),
    )!;
    curve.engineSpeedRpm.forEach((rpm, i) => {
      expect(Math.abs(curve.wheelPowerW[i]! / (Math.sqrt(300 * 200) * rpm * radPerSPerRpm) - 1)).toBeLessThan(0.001);
    });
    const last = curve.engineSpeedRpm.length - 1;
    expect([curve.pullCount[0], curve.pullCount[last]]).toEqual([2, 1]);
    expect(curve.pullPowerW[1]![last]).toBeNaN();
  });

  it('takes slopes more than three deviations above zero, and pulls with two of them', () => {
    const noisy = slopes(flat).map((value, i) => (i % 3 === 0 ? { ...value, torqueNm: 1000, noiseNm: 333.4 } : value));
    const curve = of(noisy)!;
    curve.engineSpeedRpm.forEach((rpm, i) => {
      expect(curve.wheelPowerW[i]! / (250 * rpm * radPerSPerRpm)).toBeCloseTo(1, 9);
    });
    const clear = slopes(flat).map((value) => ({ ...value, noiseNm: 250 / 3.001 }));
    expect(of(clear)).not.toBeNull();
    const beside = of(
      slopes(flat),
      slopes(flat).slice(0, 1),
      slopes(() => Math.log(260)),
    )!;
    expect(beside.pullLevels[1]).toBeNaN();
    expect(beside.pullLevels[2]! - beside.pullLevels[0]!).toBeCloseTo(Math.log(260 / 250), 9);
    expect(new Set(beside.pullCount)).toEqual(new Set([2]));
    expect(of(slopes(flat).slice(0, 1), [])).toBeNull();
  });

  it('wants three points', () => {
    expect(of(slopes(flat, { fromRpm: 3040, toRpm: 3140 }))).toBeNull();
    expect(of(slopes(flat, { fromRpm: 3040, toRpm: 3160 }))!.engineSpeedRpm).toHaveLength(3);
  });

  // Source: Fan & Gijbels (1996), ch. 3: the slope of a local parabola in the middle weighs by x K(x), K the tricube; two of them share
  // Σ w(x) w(x − lag) of Σ w².
  const weight = (x: number): number => (Math.abs(x) < 1 ? x * (1 - Math.abs(x) ** 3) ** 3 : 0);
  const integral = (f: (x: number) => number): number => {
    let sum = 0;
    for (let k = 0; k <= 4000; k++) sum += f(-1 + k / 2000) / 2000;
    return sum;
  };
  const shared = (lag: number): number => integral((x) => weight(x) * weight(x - lag)) / integral((x) => weight(x) ** 2);

  it('has the noise of its slopes, correlated as far as their windows overlap, mean over the pulls that are there', () => {
    // The second pull is as noisy again, and ends at 4010 rpm.
    const curve = of(slopes(flat), slopes(flat, { noise: 0.002, toRpm: 4010, late: 7 }))!;
    const points = curve.engineSpeedRpm.length;
    // Points k apart are 50 k rpm apart: k/12 s, k/6 half windows.
    const sharedAt = Array.from({ length: points }, (_, k) => (k < 12 ? shared(k / 6) : 0));
    const expected = Float64Array.from({ length: points ** 2 }, (_, k) => {
      const [a, b] = [curve.engineSpeedRpm[Math.floor(k / points)]!, curve.engineSpeedRpm[k % points]!];
      const both = a <= 4010 && b <= 4010;
      const parts = 0.001 ** 2 + (both ? 0.002 ** 2 : 0);
      return (parts * sharedAt[Math.abs(Math.floor(k / points) - (k % points))]!) / ((a <= 4010 ? 2 : 1) * (b <= 4010 ? 2 : 1));
    });
    const { covariance, levelVariance } = withoutLevel(expected, points, 0);
    curve.noiseCovariance.forEach((value, k) => {
      expect(Math.abs(value - covariance[k]!)).toBeLessThan(5e-3 * 0.001 ** 2);
    });
    expect(curve.levelNoiseVariance / (2 * levelVariance)).toBeCloseTo(1, 2);
  });

  it('adds what a parabola over the window misses of a bend: μ₄/6μ₂ of the second difference over half a window', () => {
    const bend = (rpm: number): number => 5.5 - ((rpm - 4000) / 1500) ** 2;
    const tricube = (x: number): number => (1 - Math.abs(x) ** 3) ** 3;
    const factor = integral((x) => x ** 4 * tricube(x)) / integral((x) => x ** 2 * tricube(x)) / 6;
    // Half a window is 300 rpm: second difference −2 (300/1500)², the same everywhere but for chords of 20 rpm.
    const bias = factor * -2 * (300 / 1500) ** 2;
    const own = slopes(bend, { noise: 1e-7 });
    // Pulls miss it alike, so that more of them do not make it less.
    for (const curve of [of(own), of(own, own)])
      curve!.noiseCovariance.forEach((value) => {
        expect(Math.abs(value / bias ** 2 - 1)).toBeLessThan(0.01);
      });
  });

  // 1 % squared on one degree for two pulls, that is twice; on two degrees for three of which one lies between, that is once.
  it.each([
    [[1, -1], 2],
    [[1, -1, 0], 1],
  ])('has the shape that its pulls differ by beside level and noise: %s', (signs, share) => {
    const way = (rpm: number): number => (rpm < 4000 ? 0.01 : rpm > 4000 ? -0.01 : 0);
    const curve = of(...signs.map((sign) => slopes((rpm) => flat() + sign * way(rpm))))!;
    const { engineSpeedRpm: grid } = curve;
    // Less the noise of 0.1 %. At 4000 rpm of 39 points they agree.
    const variance = (share * 0.01 ** 2 * 38) / 39 - 0.001 ** 2;
    const basis = bSplineBasis(grid[0]!, grid.at(-1)!, 800);
    const { covariance } = withoutLevel(shapeOn(basis, Math.sqrt(variance), grid), grid.length, 0);
    const largest = Math.max(...covariance);
    curve.shapeCovariance.forEach((value, k) => {
      expect(Math.abs(value - covariance[k]!)).toBeLessThan(0.02 * largest);
    });
    expect(Math.max(...of(slopes(flat), slopes(flat))!.shapeCovariance)).toBe(0);
    expect(Math.max(...of(slopes(flat))!.shapeCovariance)).toBe(0);
  });
});
