import { describe, expect, it } from 'vitest';
import { randomStream } from '../../../packages/core/src/maths/index.js';
import { localCurve, localTorque, type MotionPull, type PreparedPull } from '../../../packages/core/src/power/index.js';

const rpmPerMps = 160;
const radPerSPerRpm = Math.PI / 30;
const humped = (rpm: number): number => 330 * (1 - 0.25 * ((rpm - 4300) / 2500) ** 2);

/** Engine speed of a car that follows `humped` times `scale`, by small steps, read at 25 Hz with 4 rpm of noise. */
function pull(seed: number, options: { scale?: number; toRpm?: number } = {}): PreparedPull {
  const { scale = 1, toRpm = 6500 } = options;
  const stream = randomStream(seed);
  const timeS: number[] = [];
  const engineSpeedRpm: number[] = [];
  let n = 2450;
  const h = 1e-3;
  for (let k = 0; n < toRpm; k++) {
    if (k % 40 === 0) {
      timeS.push(k * h);
      engineSpeedRpm.push(n + 4 * stream.normal());
    }
    const v = n / rpmPerMps;
    const rate = (at: number): number =>
      (rpmPerMps * (scale * humped(at) * rpmPerMps * radPerSPerRpm - 0.41 * v * v - 196)) / (1600 * 1.09);
    n += (h / 2) * (rate(n) + rate(n + h * rate(n)));
  }
  const motion: MotionPull = {
    massKg: 1600,
    rotatingFactor: 1.09,
    dragKgPerM: 0.41,
    steadyN: 196,
    windMps: 0,
    rpmPerMps,
    spans: [[{ timeS: Float64Array.from(timeS), engineSpeedRpm: Float64Array.from(engineSpeedRpm), noiseRpm: 4 }]],
  };
  const conditions = {
    massKg: { value: 1600, spread: 0 },
    ownMassSpreadKg: 0,
    rotatingFactor: { value: 1.09, spread: 0 },
    airDensityKgPerM3: 1.17,
    dragAreaM2: { value: 0.7, spread: 0 },
    rollingCoefficient: { value: 0.0125, spread: 0 },
    windMps: { value: 0, spread: 0 },
    grade: { value: 0, spread: 0 },
    speedScaleSpread: 0,
    carKey: 'car',
    runKey: 'run',
    windKey: 'wind',
    gradeKey: 'grade',
  };
  return { motion, conditions, outingKey: 'day' };
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
