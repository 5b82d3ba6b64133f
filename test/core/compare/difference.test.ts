import { describe, expect, it } from 'vitest';
import { bandPartNames, powerDifference } from '../../../packages/core/src/compare/index.js';
import { randomStream } from '../../../packages/core/src/maths/index.js';
import type { PreparedPull, Repeatability, SetupCurve } from '../../../packages/core/src/power/index.js';

interface Made {
  readonly fromRpm: number;
  readonly powerW: readonly number[];
  readonly levels: readonly number[];
  readonly outings: readonly string[];
  /** Standard deviation of the noise, share of power, independent from point to point. */
  readonly noise?: number;
  readonly shape?: number;
  readonly pullCount?: number;
  readonly inputs?: readonly (readonly [id: string, name: string, effectW: number])[];
}

/** A curve as the fit would give it, with numbers that can be followed by hand. */
function setup(made: Made): { curve: SetupCurve; pulls: PreparedPull[] } {
  const points = made.powerW.length;
  const diagonal = (value: number) =>
    Float64Array.from({ length: points * points }, (_, k) => (k % (points + 1) === 0 ? value * value : 0));
  return {
    curve: {
      engineSpeedRpm: Float64Array.from(made.powerW, (_, i) => made.fromRpm + 50 * i),
      wheelPowerW: Float64Array.from(made.powerW),
      noiseCovariance: diagonal(made.noise ?? 0),
      shapeCovariance: diagonal(made.shape ?? 0),
      levelNoiseVariance: 0,
      pullCount: Uint16Array.from(made.powerW, () => made.pullCount ?? made.levels.length),
      pullLevels: Float64Array.from(made.levels),
      pullPowerW: [],
      inputs: new Map((made.inputs ?? []).map(([id, name, effectW]) => [id, { name, effectW: new Float64Array(points).fill(effectW) }])),
    },
    pulls: made.outings.map((outingKey): PreparedPull => ({ outingKey }) as PreparedPull),
  };
}

const spread = (over: Partial<Repeatability> = {}): Repeatability => ({
  pullToPull: 0.01,
  pullDegrees: 4,
  pullMeasured: true,
  outingToOuting: 0.02,
  outingDegrees: 3,
  outingMeasured: false,
  ...over,
});

const flat = (count: number, value: number) => Array.from({ length: count }, () => value);

describe('powerDifference', () => {
  it('is taken on the engine speeds that both curves have', () => {
    const before = setup({ fromRpm: 2000, powerW: [100, 110, 120, 130, 140], levels: [0], outings: ['a'] });
    const after = setup({ fromRpm: 2100, powerW: [125, 135, 145, 155], levels: [0], outings: ['a'] });
    const difference = powerDifference(before, after, spread())!;
    expect([...difference.engineSpeedRpm]).toEqual([2100, 2150, 2200]);
    expect([...difference.beforeW]).toEqual([120, 130, 140]);
    expect([...difference.afterW]).toEqual([125, 135, 145]);
    expect([...difference.differenceW]).toEqual([5, 5, 5]);
    expect(difference.identical).toBe(false);
  });

  it('needs three common points', () => {
    const before = setup({ fromRpm: 2000, powerW: flat(5, 100), levels: [0], outings: ['a'] });
    const startingAt = (fromRpm: number) => setup({ fromRpm, powerW: flat(5, 100), levels: [0], outings: ['a'] });
    expect(powerDifference(before, startingAt(2100), spread())).not.toBeNull();
    expect(powerDifference(before, startingAt(2150), spread())).toBeNull();
    expect(powerDifference(before, startingAt(9000), spread())).toBeNull();
  });

  it('gives a pull that reaches none of the engine speeds of its curve no part', () => {
    const before = { fromRpm: 2000, powerW: flat(4, 100), levels: [0.02, -0.02], outings: ['a', 'b'] };
    const after = setup({ fromRpm: 2000, powerW: flat(4, 103), levels: [0], outings: ['a'] });
    const more = { ...before, levels: [0.02, Number.NaN, -0.02], outings: ['a', 'b', 'b'] };
    const difference = powerDifference(setup({ ...more, pullCount: 2 }), after, spread())!;
    const without = powerDifference(setup(before), after, spread())!;
    expect([...difference.differenceW]).toEqual([...without.differenceW]);
    expect([...difference.band.simultaneous]).toEqual([...without.band.simultaneous]);
    expect(difference.contrast).toEqual(without.contrast);
  });

  it('weighs pulls by their outings: the pull whose luck the other setup shares counts more', () => {
    // Two pulls before, 2 % above and below their mean; the first shares its outing with the pull after. Least squares by hand:
    // minimise τ²(w² + (1−w)² + 1) + σ²((1−w)² + (1−w)²), τ = 1 %, σ = 2 %: w = (τ² + 2σ²) / (2τ² + 2σ²) = 0.9.
    const before = setup({ fromRpm: 2000, powerW: flat(4, 100), levels: [0.02, -0.02], outings: ['a', 'b'] });
    const after = setup({ fromRpm: 2000, powerW: flat(4, 100), levels: [0], outings: ['a'] });
    const difference = powerDifference(before, after, spread())!;
    expect(difference.beforeW[0]).toBeCloseTo(100 * Math.exp(0.9 * 0.02 - 0.1 * 0.02), 9);
    expect(difference.afterW[0]).toBe(100);
    const turned = powerDifference(after, before, spread())!;
    expect(turned.differenceW[0]).toBeCloseTo(-difference.differenceW[0]!, 9);
  });

  it('has a band made of noise, shape, pulls, outings and inputs, each by its own rule', () => {
    const before = setup({
      fromRpm: 2000,
      powerW: flat(4, 100),
      levels: [0, 0],
      outings: ['a', 'a'],
      noise: 0.004,
      shape: 0.006,
      inputs: [
        ['mass', 'mass', 3],
        ['wind-a', 'wind', 1],
      ],
    });
    const after = setup({
      fromRpm: 2000,
      powerW: flat(4, 120),
      levels: [0],
      outings: ['b'],
      noise: 0.003,
      shape: 0.006,
      inputs: [
        ['mass', 'mass', 3.5],
        ['wind-b', 'wind', 2],
      ],
    });
    const { parts, varianceW2, band } = powerDifference(before, after, spread())!;
    const variance = new Map(varianceW2.map((part) => [part.name, part.variance[1]!]));
    const mean = 110;
    expect(variance.get(bandPartNames.noise)).toBeCloseTo(mean ** 2 * (0.004 ** 2 + 0.003 ** 2), 9);
    // Shape: one pull's own variance over the number of pulls.
    expect(variance.get(bandPartNames.shape)).toBeCloseTo(mean ** 2 * 0.006 ** 2 * (1 / 2 + 1), 9);
    // Pulls: ½ + 1 squared weights. Outings: two that are not shared.
    expect(variance.get(bandPartNames.pulls)).toBeCloseTo(mean ** 2 * 0.01 ** 2 * 1.5, 9);
    expect(variance.get(bandPartNames.outings)).toBeCloseTo(mean ** 2 * 0.02 ** 2 * 2, 9);
    // A shared input counts by its difference, inputs of one side in full.
    expect(variance.get('mass')).toBeCloseTo(0.5 ** 2, 9);
    expect(variance.get('wind')).toBeCloseTo(1 ** 2 + 2 ** 2, 9);
    const total = [...variance.values()].reduce((sum, value) => sum + value, 0);
    expect(band.standardDeviation[1]! ** 2).toBeCloseTo(total, 9);
    expect(parts.map((part) => part.share)).toEqual([...parts.map((part) => part.share)].sort((a, b) => b - a));
    expect(parts[0]!.name).toBe(bandPartNames.outings);
    expect(parts[0]!.share).toBeCloseTo(Math.sqrt(variance.get(bandPartNames.outings)!) / 100, 9);
  });

  it('has no outing part within one outing, and leaves out inputs that do not differ', () => {
    const made: Made = { fromRpm: 2000, powerW: flat(4, 100), levels: [0, 0], outings: ['a', 'a'], inputs: [['mass', 'mass', 3]] };
    const { parts } = powerDifference(setup(made), setup(made), spread())!;
    expect(parts.map((part) => part.name).sort()).toEqual([bandPartNames.noise, bandPartNames.pulls, bandPartNames.shape].sort());
  });

  it('is wider where the spread of outings is known from few of them', () => {
    const before = setup({ fromRpm: 2000, powerW: flat(4, 100), levels: [0], outings: ['a'] });
    const after = setup({ fromRpm: 2000, powerW: flat(4, 100), levels: [0], outings: ['b'] });
    const stated = powerDifference(before, after, spread())!;
    const measured = powerDifference(before, after, spread({ outingMeasured: true }))!;
    expect(measured.band.pointwise[0]).toBeGreaterThan(1.2 * stated.band.pointwise[0]!);
    expect(measured.band.standardDeviation[0]).toBeCloseTo(stated.band.standardDeviation[0]!, 12);
  });

  it('is exactly nothing, with no width, for one recording compared with itself', () => {
    const made: Made = { fromRpm: 2000, powerW: [100, 130, 150], levels: [0.01, -0.01], outings: ['a', 'b'], noise: 0.01 };
    const { differenceW, band, parts, varianceW2, identical } = powerDifference(setup(made), setup(made), spread(), { identical: true })!;
    expect([...differenceW]).toEqual([0, 0, 0]);
    expect([...band.simultaneous]).toEqual([0, 0, 0]);
    expect([...band.pointwise]).toEqual([0, 0, 0]);
    expect([parts, varianceW2, identical]).toEqual([[], [], true]);
  });

  it('repeats with the seed of its band', () => {
    const made: Made = { fromRpm: 2000, powerW: flat(30, 100), levels: [0, 0], outings: ['a', 'a'], noise: 0.01 };
    const width = (seed?: number) => powerDifference(setup(made), setup(made), spread(), seed === undefined ? {} : { seed })!.band.factor;
    expect(width(1)).toBe(width());
    expect(width(2)).not.toBe(width(1));
  });
});

describe('the band of independent noise', () => {
  // Slow way to the same: the share of drawn curves that leave the band anywhere.
  it('holds 95 of 100 drawn curves whole', () => {
    const made: Made = { fromRpm: 2000, powerW: flat(20, 100), levels: [0, 0, 0], outings: ['a', 'a', 'a'], noise: 0.01 };
    const { band } = powerDifference(setup(made), setup(made), spread({ pullToPull: 1e-9 }))!;
    const stream = randomStream(99);
    let inside = 0;
    for (let trial = 0; trial < 4000; trial++) {
      if (band.simultaneous.every((half) => Math.abs(100 * 0.01 * Math.SQRT2 * stream.normal()) <= half)) inside++;
    }
    expect(inside / 4000).toBeGreaterThan(0.935);
    expect(inside / 4000).toBeLessThan(0.965);
  });
});
