import { fitRoadGrade, randomStream } from '@pullproof/core';
import { describe, expect, it } from 'vitest';

interface Receiver {
  readonly noiseM: number;
  readonly driftM: number;
  readonly rateHz?: number;
  readonly stepM?: number;
}

/** A pass of 8 s from 20 to 45 m/s over a road with a grade in its middle and a change along it. */
function pass(
  road: { readonly grade: number; readonly change: number },
  { noiseM, driftM, rateHz = 5, stepM = 0 }: Receiver,
  seed: number,
) {
  const stream = randomStream(seed);
  const timeS = Array.from({ length: 8 * rateHz + 1 }, (_, i) => i / rateHz);
  const distanceM = timeS.map((t) => 20 * t + (25 / 16) * t * t);
  const lengthM = distanceM[distanceM.length - 1]!;
  let drift = 0;
  const altitudeM = distanceM.map((s, i) => {
    if (i > 0) drift += driftM * Math.sqrt(1 / rateHz) * stream.normal();
    const u = s - lengthM / 2;
    const height = 112 + road.grade * u + (road.change * u * u) / (2 * lengthM) + drift + noiseM * stream.normal();
    return stepM > 0 ? Math.round(height / stepM) * stepM : height;
  });
  return { timeS, distanceM, altitudeM, quantumM: stepM };
}

const still: Receiver = { noiseM: 0, driftM: 0 };

describe('grade from altitude', () => {
  it('without errors is the road itself: a parabola comes back', () => {
    // Source: identity: the model's own road.
    const { passes } = fitRoadGrade([pass({ grade: 0.012, change: -0.02 }, still, 1)]);
    expect(passes[0]!.grade.value).toBeCloseTo(0.012, 6);
    expect(passes[0]!.change.value).toBeCloseTo(-0.02, 6);
    expect(passes[0]!.lengthM).toBeCloseTo(260, 9);
  });

  it('with noise alone is the straight least squares', () => {
    // Source: for independent errors generalised least squares is ordinary least squares; slope by the textbook sums on centred columns.
    const one = pass({ grade: 0.01, change: 0 }, { noiseM: 0.3, driftM: 0, rateHz: 4 }, 5);
    const passes = Array.from({ length: 6 }, (_, k) => pass({ grade: 0.01, change: 0 }, { noiseM: 0.3, driftM: 0, rateHz: 4 }, 50 + k));
    const { passes: fits, noiseM } = fitRoadGrade([one, ...passes]);
    expect(Math.abs(noiseM / 0.3 - 1)).toBeLessThan(0.25);
    const u = one.distanceM.map((s) => s - 130);
    const q = u.map((x) => x * x);
    const centre = (list: readonly number[]) => list.map((x) => x - list.reduce((sum, y) => sum + y, 0) / list.length);
    const dot = (a: readonly number[], b: readonly number[]) => a.reduce((sum, x, i) => sum + x * b[i]!, 0);
    const [cu, cq, ch] = [centre(u), centre(q), centre(one.altitudeM)];
    const slope = (dot(cu, ch) * dot(cq, cq) - dot(cq, ch) * dot(cu, cq)) / (dot(cu, cu) * dot(cq, cq) - dot(cu, cq) ** 2);
    expect(Math.abs(fits[0]!.grade.value - slope)).toBeLessThan(0.4 * fits[0]!.grade.spread);
  });

  it.each([
    ['a quiet receiver', { noiseM: 0.1, driftM: 0.1 }],
    ['a receiver that wanders', { noiseM: 0.2, driftM: 0.4 }],
    ['readings once a second', { noiseM: 0.3, driftM: 0.2, rateHz: 1 }],
    ['whole metres', { noiseM: 0.1, driftM: 0.1, stepM: 1 }],
  ])('%s: the band holds the grade as often as it says', (_, receiver) => {
    // Coverage by simulation: 80 sets of three passes; 95 % bands hold in fewer than 70 of 80 with probability 0.005. They may hold more: a steady error of the climb is counted that is not simulated.
    let held = 0;
    let change = 0;
    for (let seed = 1; seed <= 80; seed++) {
      const road = { grade: 0.01 * Math.sin(seed), change: 0.01 * Math.cos(2 * seed) };
      const [fit] = fitRoadGrade([0, 1, 2].map((k) => pass(road, receiver, 10 * seed + k))).passes;
      if (Math.abs(fit!.grade.value - road.grade) <= 1.96 * fit!.grade.spread) held++;
      if (Math.abs(fit!.change.value - road.change) <= 1.96 * fit!.change.spread) change++;
    }
    expect(held).toBeGreaterThanOrEqual(70);
    expect(change).toBeGreaterThanOrEqual(70);
  });

  it('is no better known than a wander allows: an error that doubles the drift widens the band', () => {
    const spread = (driftM: number) =>
      fitRoadGrade(Array.from({ length: 6 }, (_, k) => pass({ grade: 0, change: 0 }, { noiseM: 0.1, driftM }, k + 1))).passes[0]!.grade
        .spread;
    // A random walk alone, followed from end to end: the climb over a time T is known to driftM / √T; over 260 m in 8 s that is this grade.
    const walk = (driftM: number) => (driftM / Math.sqrt(8)) * (8 / 260);
    for (const driftM of [0.3, 0.6]) {
      expect(spread(driftM) / walk(driftM)).toBeGreaterThan(0.7);
      expect(spread(driftM) / walk(driftM)).toBeLessThan(1.8);
    }
  });

  it('says nothing of a pass that is too short or has too few readings', () => {
    const short = pass({ grade: 0.01, change: 0 }, still, 1);
    const cut = (count: number) => ({
      ...short,
      timeS: short.timeS.slice(0, count),
      distanceM: short.distanceM.slice(0, count),
      altitudeM: short.altitudeM.slice(0, count),
    });
    const { passes, readings } = fitRoadGrade([cut(4), cut(12), short]);
    expect(passes[0]!.grade.value).toBeNaN();
    expect(passes[1]!.grade.value).toBeNaN();
    expect(passes[2]!.grade.value).toBeCloseTo(0.01, 5);
    expect(readings).toBe(41);
  });
});
