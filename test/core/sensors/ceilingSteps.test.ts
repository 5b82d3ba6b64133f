import { describe, expect, it } from 'vitest';
import {
  ceilingSegments,
  countStep,
  runsAt,
  type Segment,
  upperCandidates,
  visitsTo,
} from '../../../packages/core/src/sensors/ceilingCandidate.js';
import { ceilingEvidence } from '../../../packages/core/src/sensors/ceilingEvidence.js';
import { ceilingScore } from '../../../packages/core/src/sensors/ceilingScore.js';
import { findCeilings } from '../../../packages/core/src/sensors/index.js';
import { simulatedPressure } from './simulatedPressure.js';

/** Numbers to six digits, so that the last bits of a sum do not matter. */
function rounded(value: unknown): unknown {
  return JSON.parse(JSON.stringify(value, (_, part) => (typeof part === 'number' ? Number(part.toPrecision(6)) : part)));
}

const segment = (values: readonly number[], stepS = 0.1): Segment => ({
  series: 0,
  rows: values.map((_, i) => i),
  timeS: values.map((_, i) => i * stepS),
  values,
});

// Regression, not truth: every step of the finder on pulls of our own simulation, so that a change of any of them shows.
describe('steps of the ceiling finder', () => {
  it('weigh simulated pulls as they did', async () => {
    const weighed = (['clamped', 'living', 'free'] as const).flatMap((kind) =>
      Array.from({ length: 12 }, (_, k) => {
        const { series, quantum } = simulatedPressure(50_000_000 + k, kind);
        const segments = ceilingSegments(series);
        const step = countStep(segments);
        const levels = upperCandidates(segments, quantum).map((level) => {
          const visits = visitsTo(segments, level, quantum);
          const runs = runsAt(visits, level, quantum);
          const evidence = ceilingEvidence(visits, runs, level, quantum, 0.5);
          return {
            level,
            visits: visits.map((visit) => [visit.rows[0], visit.rows.at(-1)]),
            runs,
            evidence,
            score: ceilingScore(evidence),
          };
        });
        return { kind, step, levels, ceiling: findCeilings(series, { breathing: 0.5, quantum }) };
      }),
    );
    await expect(`${JSON.stringify(rounded(weighed), null, 1)}\n`).toMatchFileSnapshot('ceilingSteps.golden.json');
  });
});

describe('ceilingSegments', () => {
  it('cuts at gaps of more than three usual steps, and leaves out a standing engine and missing readings', () => {
    const timeS = Float64Array.of(0, 1, 2, 3, 6, 7, 8, 11.1, 12, 13, 14);
    const values = Float64Array.of(1, 2, 3, 4, 5, Number.NaN, 7, 8, 9, 10, 11);
    const engineSpeedRpm = Float64Array.of(299, 300, 900, 900, 900, 900, 900, 900, 900, 900, Number.NaN);
    expect(ceilingSegments([{ timeS, values, engineSpeedRpm }]).map(({ rows }) => rows)).toEqual([
      [1, 2, 3, 4, 6],
      [7, 8, 9, 10],
    ]);
    expect(ceilingSegments([{ timeS, values }])[0]!.rows).toEqual([0, 1, 2, 3, 4, 6]);
  });

  it('takes the usual step as it comes', () => {
    // Ten readings a second: 0.3 s are three steps, 0.31 s are more.
    const timeS = Float64Array.of(0, 0.1, 0.2, 0.5, 0.6, 0.7, 1.01, 1.11, 1.21);
    const values = timeS.map((_, i) => i);
    expect(ceilingSegments([{ timeS, values }]).map(({ rows }) => rows)).toEqual([
      [0, 1, 2, 3, 4, 5],
      [6, 7, 8],
    ]);
  });

  it('wants three readings', () => {
    const timeS = Float64Array.of(0, 1, 2);
    expect(ceilingSegments([{ timeS, values: Float64Array.of(1, 2, Number.NaN) }])).toEqual([]);
    expect(ceilingSegments([{ timeS, values: Float64Array.of(1, 2, 3) }])).toHaveLength(1);
  });

  it('keeps which series a segment is of', () => {
    const one = { timeS: Float64Array.of(0, 1, 2), values: Float64Array.of(1, 2, 3) };
    expect(ceilingSegments([one, one]).map(({ series, timeS, values }) => [series, timeS, values])).toEqual([
      [0, [0, 1, 2], [1, 2, 3]],
      [1, [0, 1, 2], [1, 2, 3]],
    ]);
  });
});

describe('countStep', () => {
  it.each([
    ['the step that is seen again', [100, 100.5, 101, 103, 107], 0.5],
    ['not a lone smaller one', [100, 100.1, 101.1, 102.1, 103.1, 104.1], 1],
    ['a lone one where there is no other', [200, 201], 1],
    ['at most a hundredth of the largest', [10, 20, 30, 40], 0.4],
    ['of negative values by their size', [-400, -399, -398, -397], 1],
    ['a hundredth where only one value is seen', [50, 50, 50], 0.5],
    ['not one of two unlike smaller ones', [100, 100.1, 100.4, 101.4, 102.4, 103.4], 1],
    ['not one that is seen twice among a hundred others', [100, 100.1, 100.2, ...Array.from({ length: 100 }, (_, i) => 101.2 + i)], 1],
    ['nothing of nothing', [], 0],
    ['no difference of last digits of large values', [1e5, 1e5 + 1e-8, 1e5 + 500, 1e5 + 500 + 1e-8, 1e5 + 1000, 1e5 + 1000 + 1e-8], 500],
    ['no difference of last digits', [100, 100 + 1e-11, 100.5, 100.5 + 1e-11, 101, 101 + 1e-11, 101.5], 0.5],
  ])('is %s', (_, values, expected) => {
    expect(Math.abs(countStep([segment(values)]) - expected)).toBeLessThanOrEqual(1e-9 * expected);
  });
});

describe('upperCandidates', () => {
  it('are values on which readings pile up with next to nothing beyond', () => {
    const ramp = Array.from({ length: 40 }, (_, i) => 100 + i);
    expect(upperCandidates([segment([...ramp, ...Array(60).fill(140)])], 1)).toEqual([140]);
    expect(upperCandidates([segment([...ramp, ...Array(60).fill(140), 190])], 1)).toEqual([140]);
    expect(upperCandidates([segment([...ramp, ...Array(60).fill(140), 190, 195])], 1)).toEqual([]);
    expect(upperCandidates([segment([100, 110, 120, 130])], 1)).toEqual([]);
  });

  it('are two where jitter makes neighbours alike', () => {
    const jittered = [...Array(12).fill(140), ...Array(10).fill(139), ...Array(3).fill(130)];
    expect(upperCandidates([segment(jittered)], 1)).toEqual([140, 139]);
    expect(upperCandidates([segment([...Array(12).fill(140), 139])], 1)).toEqual([140]);
  });
});

describe('runsAt', () => {
  it('are three or more readings within a count and a quarter, without lower ones at their ends', () => {
    const values = [90, 99, 100, 101, 100, 99, 90, 100, 100, 90, 98.75, 100, 101.25, 100, 97];
    expect(runsAt([segment(values)], 100, 1)).toEqual([
      { segment: 0, from: 2, to: 4 },
      { segment: 0, from: 11, to: 13 },
    ]);
  });

  it('keep a lower reading where the recording begins or ends with it', () => {
    expect(runsAt([segment([99, 100, 100, 99])], 100, 1)).toEqual([{ segment: 0, from: 0, to: 3 }]);
    expect(runsAt([segment([50]), segment([100, 100, 100])], 100, 1)).toEqual([{ segment: 1, from: 0, to: 2 }]);
  });
});

describe('visitsTo', () => {
  it('reach from a quarter below the level up, with three readings', () => {
    const values = [50, 74.9, 75, 90, 100, 100, 74, 80, 90, 60, 76, 80, 90];
    expect(visitsTo([segment(values)], 100, 1).map(({ rows }) => rows)).toEqual([
      [2, 3, 4, 5],
      [10, 11, 12],
    ]);
    const [visit] = visitsTo([segment(values, 0.5)], 100, 1);
    expect(visit).toEqual({ series: 0, rows: [2, 3, 4, 5], timeS: [1, 1.5, 2, 2.5], values: [75, 90, 100, 100] });
  });

  it('reach at least twelve counts down', () => {
    expect(visitsTo([segment([7, 8, 9, 20, 20])], 20, 1).map(({ rows }) => rows)).toEqual([[1, 2, 3, 4]]);
  });
});

describe('findCeilings at its edges', () => {
  const pull = (startS: number, cap: number, base = 150) => {
    const timeS = Float64Array.from({ length: 80 }, (_, i) => startS + i / 20);
    return { timeS, values: timeS.map((t) => Math.min(cap, base + Math.round(20 * (t - startS)))) };
  };
  const three = (cap: number) => [pull(0, cap), pull(30, cap), pull(60, cap)];

  it.each([
    [0.93, 'below the weather by less than eight parts in a hundred', []],
    [1.0199, 'above it by less than 2 kPa', []],
    [0.91, 'well below', [190]],
    [1.021, 'above by more', [190]],
  ])('a plateau at %s of the weather, %s', (share, _, expected) => {
    // 2 kPa are two units here: values in kPa, so the station pressure is given in the same unit times a thousand.
    const series = three(190).map(({ timeS, values }) => ({ timeS, values: values.map((value) => 1000 * value) }));
    const found = findCeilings(series, { stationPressurePa: share < 1 ? 190_000 / share : 190_000 - 2000 * ((share - 1) / 0.02) });
    expect(found.map(({ value }) => value / 1000)).toEqual(expected);
  });

  it('names a known limit, and a channel end', () => {
    expect(findCeilings(three(190), { quantum: 1, knownLimits: [{ name: 'full scale of the sensor', value: 191.5 }] })[0]!.place).toBe(
      'full scale of the sensor',
    );
    expect(findCeilings(three(190), { quantum: 1, knownLimits: [{ name: 'far', value: 191.6 }] })[0]!.place).toBeNull();
    expect(findCeilings(three(190), { quantum: 190 / 255 })[0]!.place).toBe('the end of a range of 255 counts');
  });

  it('a known limit needs less proof: three more in the logarithm of the odds, and no more where it is a channel’s end too', () => {
    const scoreOf = (cap: number, known: boolean): number => {
      const series = three(190).map(({ timeS, values }) => ({ timeS, values: values.map((value) => value + cap - 190) }));
      return findCeilings(series, { quantum: 1, knownLimits: known ? [{ name: 'limit', value: cap }] : [] })[0]!.score;
    };
    expect(scoreOf(190, true) - scoreOf(190, false)).toBeCloseTo(3, 9);
    expect(scoreOf(255, true)).toBe(scoreOf(255, false));
  });

  it('the unit of the readings changes nothing: a known limit lies within a count and a half', () => {
    const inPa = three(190).map(({ timeS, values }) => ({ timeS, values: values.map((value) => 1000 * value) }));
    const at = (value: number) => findCeilings(inPa, { quantum: 1000, knownLimits: [{ name: 'full scale', value }] })[0]!;
    expect([at(191_500).place, at(191_600).place]).toEqual(['full scale', null]);
    const [plain] = findCeilings(three(190), { quantum: 1 });
    expect(at(191_600).score).toBeCloseTo(plain!.score, 9);
  });

  it('a count of 0 is found from the values, and a living reading breathes by a quarter of a percent, unless told', () => {
    const found = findCeilings(three(190), { quantum: 1 });
    expect(findCeilings(three(190), { quantum: 0 })).toEqual(found);
    expect(findCeilings(three(190))).toEqual(found);
    expect(findCeilings(three(190), { quantum: 1, breathing: 0.0025 * 190 })).toEqual(found);
  });

  it('is only possible in one pull, with fewer than twelve readings, or on weak evidence', () => {
    const known = { quantum: 1, knownLimits: [{ name: 'limit', value: 190 }] };
    const cut = (one: { timeS: Float64Array; values: Float64Array }, n: number) => ({
      timeS: one.timeS.subarray(0, n),
      values: one.values.subarray(0, n),
    });
    // The 41st reading is the first at 190, the 40th one count below, the 39th two.
    const judged = (lengths: readonly number[], options: object = known) => {
      const [ceiling] = findCeilings(
        lengths.map((n, k) => cut(pull(30 * k, 190), n)),
        options,
      );
      return ceiling === undefined ? null : [ceiling.certainty, ceiling.visits];
    };
    expect(judged([80])).toEqual(['possible', 1]);
    expect(judged([80, 80])).toEqual(['found', 2]);
    // What comes within a count of it in a single reading does not reach it.
    expect(judged([80, 40])).toEqual(['possible', 1]);
    expect(judged([80, 41])).toEqual(['found', 2]);
    expect(judged([80, 80, 40])).toEqual(['found', 2]);
    // Eleven readings, and twelve.
    expect(judged([43, 44])).toEqual(['possible', 2]);
    expect(judged([44, 44])).toEqual(['found', 2]);
    // Eighteen in three pulls, of a limit that nobody knew of.
    expect(judged([44, 44, 44], { quantum: 1 })).toEqual(['possible', 3]);
    expect(judged([43])).toBeNull();
  });

  it('finds a floor as it finds a ceiling', () => {
    const down = three(190).map(({ timeS, values }) => ({ timeS, values: values.map((value) => -value) }));
    const floor = findCeilings(down, { side: 'lower', quantum: 1 })[0]!;
    const ceiling = findCeilings(three(190), { quantum: 1 })[0]!;
    expect(floor).toEqual({ ...ceiling, side: 'lower', value: -190 });
  });

  it('refuses arrays of unlike lengths with their lengths', () => {
    const series = { timeS: new Float64Array(3), values: new Float64Array(2) };
    expect(() => findCeilings([series])).toThrow('Series 0 has 3 times, 2 values. Give arrays of one length. [E_LENGTHS]');
    const withRpm = { timeS: new Float64Array(3), values: new Float64Array(3), engineSpeedRpm: new Float64Array(4) };
    expect(() => findCeilings([withRpm])).toThrow(
      'Series 0 has 3 times, 3 values, 4 engine speeds. Give arrays of one length. [E_LENGTHS]',
    );
  });
});
