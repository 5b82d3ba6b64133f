import { describe, expect, it } from 'vitest';
import { bSplineAt, bSplineBasis } from '../../../packages/core/src/maths/index.js';
import { type EngineCoupling, localTorque, type MotionPull, torqueGuess } from '../../../packages/core/src/power/index.js';
import { integrateSpan, spanEnd, spanStart } from '../../../packages/core/src/power/motion.js';
import { firstParameters } from '../../../packages/core/src/power/torqueParameters.js';
import { drivenRpm, errors, humped, plainPull as plain, stamps } from './simulatedPull.js';

// A converter that slips by 600 rpm at 2500 rpm of road speed, less and less above.
const coupling: EngineCoupling = {
  engineRpm: (n) => n + 600 * Math.exp((2500 - n) / 1500),
  slope: (n) => 1 - 0.4 * Math.exp((2500 - n) / 1500),
  engineInertiaKgM2: 0.25,
};
const graded = (n: number): number => 0.05 * (n - 3500);
const pulls: readonly (readonly [string, MotionPull])[] = [
  ['locked', plain],
  ['in a tailwind faster than the car', { ...plain, windMps: -60 }],
  ['on a grade that changes', { ...plain, gradeChangeN: graded }],
  ['through a slipping converter', { ...plain, rotatingFactor: 1.02, coupling, gradeChangeN: graded }],
];

const common = bSplineBasis(2000, 7000, 1000);
const own = bSplineBasis(2000, 7000, 2500);
const commonCoefficients = Float64Array.from([5.6, 5.7, 5.75, 5.8, 5.8, 5.75, 5.7, 5.6]);
const ownCoefficients = Float64Array.from([0.01, -0.01, 0.02, 0.01, -0.02]);

describe.each(pulls)('equation of motion, %s', (_, pull) => {
  const at = (changed: { common?: Float64Array; own?: Float64Array; scale?: number; start?: number }) =>
    integrateSpan(
      pull,
      {
        common,
        commonCoefficients: changed.common ?? commonCoefficients,
        own,
        ownCoefficients: changed.own ?? ownCoefficients,
        logScale: changed.scale ?? 0.02,
      },
      { startRpm: changed.start ?? 2500, fromTimeS: 1, toTimeS: 6, stepS: 0.04 },
    );
  it('follows the balance of power in small steps', () => {
    const torqueNm = (rpm: number): number =>
      Math.exp(0.02 + bSplineAt(common, commonCoefficients, rpm) + bSplineAt(own, ownCoefficients, rpm));
    const truth = drivenRpm(pull, torqueNm, { startRpm: 2500, toTimeS: 5 });
    const path = at({});
    path.timeS.forEach((t, i) => {
      expect(Math.abs(path.rpm[i]! / truth(t - 1) - 1)).toBeLessThan(2e-6);
      // The rate is the slope of the path: a central difference over 2 ms.
      if (i > 0) expect(path.rate[i]! / ((truth(t - 0.999) - truth(t - 1.001)) / 0.002)).toBeCloseTo(1, 3);
    });
  });

  it('has the derivatives that finite differences give, of every parameter, all along', () => {
    const path = at({});
    const moved = (values: Float64Array, j: number, by: number): Float64Array => values.map((value, k) => (k === j ? value + by : value));
    const check = (cumulated: (node: number) => number, numeric: (node: number) => number): void => {
      const last = path.timeS.length - 1;
      let largest = 0;
      for (let node = 0; node <= last; node++) largest = Math.max(largest, Math.abs(numeric(node)));
      for (let node = 0; node <= last; node += 5) {
        expect(Math.abs(path.growth[node]! * cumulated(node) - numeric(node))).toBeLessThanOrEqual(0.004 * largest + 0.02);
      }
    };
    const both = (up: { rpm: Float64Array }, down: { rpm: Float64Array }, by: number) => (node: number) =>
      (up.rpm[node]! - down.rpm[node]!) / (2 * by);
    for (let j = 0; j < common.size; j++) {
      const numeric = both(at({ common: moved(commonCoefficients, j, 1e-4) }), at({ common: moved(commonCoefficients, j, -1e-4) }), 1e-4);
      check((node) => path.common[node * common.size + j]!, numeric);
    }
    for (let j = 0; j < own.size; j++) {
      const numeric = both(at({ own: moved(ownCoefficients, j, 1e-4) }), at({ own: moved(ownCoefficients, j, -1e-4) }), 1e-4);
      check((node) => path.own[node * own.size + j]!, numeric);
    }
    check((node) => path.scale[node]!, both(at({ scale: 0.0201 }), at({ scale: 0.0199 }), 1e-4));
    const start = both(at({ start: 2500.5 }), at({ start: 2499.5 }), 0.5);
    path.growth.forEach((growth, node) => {
      expect(growth).toBeCloseTo(start(node), 3);
    });
  });
});

describe('steps of the integration', () => {
  const timesOf = (toTimeS: number, stepS: number): number[] =>
    Array.from(
      integrateSpan(
        plain,
        { common, commonCoefficients, own, ownCoefficients, logScale: 0 },
        { startRpm: 2500, fromTimeS: 2, toTimeS, stepS },
      ).timeS,
    );
  it('are even, no longer than asked, and at least two', () => {
    expect(timesOf(3, 0.3)).toEqual([2, 2.25, 2.5, 2.75, 3]);
    expect(timesOf(2.5, 10)).toEqual([2, 2.25, 2.5]);
  });
  it('of a span begin at the first and end at the last time stamp of any channel', () => {
    const readings = (...timeS: number[]) => ({
      timeS: Float64Array.from(timeS),
      engineSpeedRpm: new Float64Array(timeS.length),
      noiseRpm: 1,
    });
    const span = [readings(1, 2, 3), readings(), readings(0.5, 2, 4)];
    expect([spanStart(span), spanEnd(span)]).toEqual([0.5, 4]);
  });
});

describe.each(pulls)('local torque, %s', (_, pull) => {
  it('is what drove the pull, at the engine speed of the time', () => {
    const truth = drivenRpm(pull, humped, { startRpm: 2500, toTimeS: 5 });
    const timeS = stamps(0, 5, 50);
    const values = localTorque({ ...pull, spans: [[{ timeS, engineSpeedRpm: timeS.map(truth), noiseRpm: 0.5 }]] });
    expect(values.length).toBeGreaterThan(60);
    for (const value of values) {
      const roadRpm = truth(value.timeS);
      const engineRpm = pull.coupling === undefined ? roadRpm : pull.coupling.engineRpm(roadRpm);
      expect(Math.abs(value.engineSpeedRpm / engineRpm - 1)).toBeLessThan(1e-3);
      // Half a window from an end a parabola leans to one side.
      const tolerance = value.timeS < 0.3 || value.timeS > 4.7 ? 0.012 : 0.006;
      expect(Math.abs(value.torqueNm / humped(engineRpm) - 1)).toBeLessThan(tolerance);
      const later = truth(value.timeS + 0.01);
      const engineLater = pull.coupling === undefined ? later : pull.coupling.engineRpm(later);
      expect(Math.abs((value.rateRpmPerS * 0.01) / (engineLater - engineRpm) - 1)).toBeLessThan(0.03);
    }
  });
  it('has the noise that repeated readings show', () => {
    const truth = drivenRpm(pull, humped, { startRpm: 2500, toTimeS: 5 });
    const timeS = stamps(0, 5, 25);
    let squares = 0;
    let expected = 0;
    for (let seed = 1; seed <= 60; seed++) {
      const noise = errors(seed, 6);
      const values = localTorque({ ...pull, spans: [[{ timeS, engineSpeedRpm: timeS.map((t) => truth(t) + noise()), noiseRpm: 6 }]] });
      const value = values[values.length >> 1]!;
      squares += (value.torqueNm / humped(value.engineSpeedRpm) - 1) ** 2;
      expected += (value.noiseNm / value.torqueNm) ** 2;
    }
    // 60 draws: a standard deviation is known to 9 %.
    expect(Math.abs(Math.sqrt(squares / expected) - 1)).toBeLessThan(0.3);
  });
});

describe('window of the local torque', () => {
  const straight = (options: { hz: number; noiseRpm: number; toS?: number; slope?: number }) => {
    const { hz, noiseRpm, toS = 10, slope = 500 } = options;
    const timeS = stamps(0, toS, hz);
    return localTorque({ ...plain, spans: [[{ timeS, engineSpeedRpm: timeS.map((t) => 2500 + slope * t), noiseRpm }]] });
  };
  it('is as long as a straight line needs for a slope known to 3 %, 12 σ² Δt / (2h)³', () => {
    const [first] = straight({ hz: 25, noiseRpm: 40 });
    expect(Math.sqrt((12 * 40 ** 2 * 0.04) / (2 * first!.halfWidthS) ** 3) / 500).toBeCloseTo(0.03, 10);
    expect(first!.rateRpmPerS).toBeCloseTo(500, 6);
  });
  it.each([
    ['0.3 s at least', { hz: 25, noiseRpm: 1 }, 0.3],
    ['2 s at most', { hz: 25, noiseRpm: 400 }, 2],
    ['3.2 readings at least', { hz: 1, noiseRpm: 1, toS: 20 }, 3.2],
    ['half of the span at most', { hz: 25, noiseRpm: 400, toS: 2 }, 1],
  ])('is %s', (_, options, expected) => {
    expect(straight(options)[0]!.halfWidthS).toBeCloseTo(expected, 10);
  });
  it('stands half its half-width inside the span, and no nearer to the last than 0.05 s', () => {
    const values = straight({ hz: 100, noiseRpm: 1 });
    expect(values[0]!.timeS).toBeCloseTo(0.15, 10);
    expect(values.at(-1)!.timeS).toBeCloseTo(9.85, 10);
    values.slice(1).forEach((value, i) => {
      expect(value.timeS - values[i]!.timeS).toBeCloseTo(0.05, 9);
    });
    expect(straight({ hz: 2, noiseRpm: 1, toS: 1.5 })).toEqual([]);
  });
  it('does not depend on where the clock of the log stands', () => {
    const timeS = stamps(0, 10, 25);
    const at = (fromS: number) =>
      localTorque({
        ...plain,
        spans: [[{ timeS: timeS.map((t) => fromS + t), engineSpeedRpm: timeS.map((t) => 2500 + 500 * t), noiseRpm: 40 }]],
      });
    const [early, late] = [at(0), at(1000)];
    expect(late).toHaveLength(early.length);
    late.forEach((value, i) => {
      expect(value.timeS - 1000).toBeCloseTo(early[i]!.timeS, 6);
      expect(value.halfWidthS).toBeCloseTo(early[i]!.halfWidthS, 9);
      expect(value.torqueNm).toBeCloseTo(early[i]!.torqueNm, 4);
    });
  });
  it('leaves out what stands still or is missing', () => {
    const timeS = stamps(0, 4, 25);
    const spans = (of: (t: number) => number) => [[{ timeS, engineSpeedRpm: timeS.map(of), noiseRpm: 1 }]];
    expect(localTorque({ ...plain, spans: spans(() => 0) })).toEqual([]);
    const holed = localTorque({ ...plain, spans: spans((t) => (t > 1 && t < 3 ? Number.NaN : 2500 + 500 * t)) });
    expect(holed.length).toBeGreaterThan(0);
    expect(holed.every(({ timeS: t, torqueNm }) => (t < 1.3 || t > 2.7) && Number.isFinite(torqueNm))).toBe(true);
  });
});

describe('first guess of torque', () => {
  const value = (engineSpeedRpm: number, torqueNm: number, noiseNm: number) => ({
    engineSpeedRpm,
    torqueNm,
    noiseNm,
    timeS: 0,
    halfWidthS: 1,
    rateRpmPerS: 500,
  });
  it('weighs what is within 300 rpm by 1 − u² and its noise', () => {
    const guess = torqueGuess([value(3000, 300, 1), value(3200, 200, 2), value(3100, -50, 1)]);
    // At 3100 both are a third away, weights 4 to 1; at 3000 they are 1 and (1 − 4/9)/4.
    expect(guess(3100)).toBeCloseTo(280, 3);
    expect(guess(3000)).toBeCloseTo((300 + 200 * (5 / 36)) / (1 + 5 / 36), 3);
    expect(guess(3300)).toBeCloseTo(200, 3);
    expect(guess(4000)).toBeCloseTo(250, 6);
    expect(torqueGuess([value(3000, -1, 1)])(3000)).toBeCloseTo(100, 9);
  });
});

describe('first parameters of the fit', () => {
  const line = (fromS: number, count: number, slope: number, noise: readonly number[] = []) => {
    const timeS = Float64Array.from({ length: count }, (_, i) => fromS + i / 10);
    return { timeS, engineSpeedRpm: timeS.map((t, i) => 2500 + slope * (t - fromS) + (noise[i] ?? 0)), noiseRpm: 1 };
  };
  const first = () =>
    firstParameters(
      [
        { ...plain, spans: [[line(1, 41, 600), line(0.9, 41, 600)], [line(8, 31, 800)]] },
        { ...plain, spans: [[line(2, 1, 0), line(2, 0, 0)]] },
      ],
      (rpm) => (rpm > 4800 ? -5 : rpm / 10),
      { knotRpm: 200, ownKnotRpm: 800 },
    );

  it('stand common first, then scale, own shape, delays and starts of each pull', () => {
    // 2500 to 4900 rpm in pieces of 200 and 800: 12 and 3, each with three functions more.
    expect([first().basis, first().ownBasis]).toEqual([
      { from: 2500, to: 4900, step: 200, size: 15 },
      { from: 2500, to: 4900, step: 800, size: 6 },
    ]);
    expect(first().layout).toEqual({
      size: 15 + 10 + 9,
      common: 0,
      pulls: [
        { scale: 15, own: 16, delays: 22, starts: 23, size: 10 },
        { scale: 25, own: 26, delays: 32, starts: 33, size: 9 },
      ],
    });
    expect(first().parameters).toHaveLength(34);
  });

  it('are the logarithm of the guess at the middle of each function, inside the range, of at least 1 N·m', () => {
    expect(first().parameters[0]).toBeCloseTo(Math.log(250), 12);
    expect(first().parameters[1]).toBeCloseTo(Math.log(250), 12);
    expect(first().parameters[5]).toBeCloseTo(Math.log(330), 12);
    expect(first().parameters[13]).toBe(0);
    expect(first().parameters[14]).toBe(0);
  });

  it('start where the line through the first six readings meets the start of the span', () => {
    // The first channel begins 0.1 s after the span: 60 rpm less.
    expect(first().parameters[23]).toBeCloseTo(2440, 9);
    expect(first().parameters[24]).toBeCloseTo(2500, 9);
    expect(first().parameters[33]).toBe(2500);
    // By hand: y = 0 … 0 but 6 at the first of six, least squares at its place 6 (1/6 + 2.5² / 17.5) = 3.142857; the seventh does not count.
    const noisy = firstParameters([{ ...plain, spans: [[line(0, 20, 600, [6, 0, 0, 0, 0, 0, 900])]] }], () => 300, {
      knotRpm: 200,
      ownKnotRpm: 800,
    });
    expect(noisy.parameters.at(-1)).toBeCloseTo(2503.142857, 5);
  });

  it('of a coupled pull reach over the engine’s speeds, in at least five and two pieces', () => {
    const coupled = firstParameters(
      [{ ...plain, coupling: { ...coupling, engineRpm: (n) => n + 1000 }, spans: [[line(0, 11, 500)]] }],
      () => 300,
      { knotRpm: 200, ownKnotRpm: 800 },
    );
    expect([coupled.basis.from, coupled.basis.to, coupled.basis.size]).toEqual([3500, 4000, 8]);
    expect(coupled.ownBasis.size).toBe(5);
  });
});
