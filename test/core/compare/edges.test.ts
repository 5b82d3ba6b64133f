import { describe, expect, it } from 'vitest';
import {
  type AirShare,
  airShare,
  densityExponents,
  type Explanation,
  overallVerdict,
  type PowerDifference,
  verdictReasons,
  verdictRegions,
  whyNotTold,
} from '../../../packages/core/src/compare/index.js';
import type { Band } from '../../../packages/core/src/uncertainty/index.js';

const beforeW = 100_000;

/** A difference with its band given point by point; the half-width of a mean is the mean of the half-widths. */
function difference(valuesW: readonly number[], halfW: readonly number[]): PowerDifference {
  const half = Float64Array.from(halfW);
  const band: Band = {
    standardDeviation: half.map((value) => value / 2),
    pointwise: half,
    simultaneous: half,
    factor: 2,
    ofMean: (from, to) => half.subarray(from, to).reduce((sum, value) => sum + value, 0) / (to - from),
  };
  return {
    engineSpeedRpm: Float64Array.from(valuesW, (_, i) => 3000 + 50 * i),
    beforeW: new Float64Array(valuesW.length).fill(beforeW),
    afterW: Float64Array.from(valuesW, (value) => beforeW + value),
    differenceW: Float64Array.from(valuesW),
    band,
    contrast: { before: Float64Array.of(-1), after: Float64Array.of(1), pullFactor: 2, outingFactor: 0 },
    parts: [],
    varianceW2: [],
    identical: false,
  };
}

const flat = (count: number, value: number) => Array.from({ length: count }, () => value);
const air = (count: number, lowW: number, highW: number): AirShare => ({
  lowW: new Float64Array(count).fill(lowW),
  highW: new Float64Array(count).fill(highW),
  mostW: new Float64Array(count).fill(highW),
});
const noAir = (count: number) => air(count, 0, 0);
const airAlone = (share: AirShare): Explanation[] => [{ name: 'air', standing: 'entered', sentence: '', settle: '', ...share }];
const known = {
  weatherUnknown: false,
  missingPulls: false,
  repeatabilityKnown: true,
  outingAssumed: false,
  speedInDoubt: false,
  contradicted: false,
};

describe('verdictRegions point by point', () => {
  it('gives each region its ends, its mean, its band and its share', () => {
    const d = difference([...flat(5, 4000), ...flat(5, 0), ...flat(4, -6000)], flat(14, 1000));
    expect(verdictRegions(d, noAir(14))).toEqual([
      region(3000, 3200, 'gain', 4000, 1000),
      region(3250, 3450, 'no clear change', 0, 1000),
      region(3500, 3650, 'loss', -6000, 1000),
    ]);
  });

  function region(fromRpm: number, toRpm: number, verdict: string, meanW: number, half: number) {
    return {
      fromRpm,
      toRpm,
      verdict,
      meanW,
      lowW: meanW - half,
      highW: meanW + half,
      meanShare: meanW / beforeW,
      clearFromRpm: fromRpm,
      clearToRpm: toRpm,
    };
  }

  it.each([
    [4, ['gain']],
    [3, []],
  ])('a clear stretch of %s points among others is %s', (length, expected) => {
    const d = difference([...flat(6, 0), ...flat(length, 4000), ...flat(6, 0)], flat(12 + length, 1000));
    const named = verdictRegions(d, noAir(12 + length)).filter(({ verdict }) => verdict !== 'no clear change');
    expect(named.map(({ verdict }) => verdict)).toEqual(expected);
  });

  it('three points in all are still judged', () => {
    const d = difference(flat(3, 0), flat(3, 1000));
    expect(verdictRegions(d, noAir(3)).map(({ verdict, fromRpm, toRpm }) => [verdict, fromRpm, toRpm])).toEqual([
      ['no clear change', 3000, 3100],
    ]);
  });

  it.each([
    ['just beyond its band', 1001, 0, 0, 'gain'],
    ['up to its band', 1000, 0, 0, 'no clear change'],
    ['just beyond band and air', 1501, -200, 500, 'gain'],
    ['up to band and air', 1500, -200, 500, 'no clear change'],
    ['beyond its band where air worked the other way', 1001, -900, -300, 'gain'],
    ['of a loss just beyond band and air', -1201, -200, 500, 'loss'],
    ['of a loss up to band and air', -1200, -200, 500, 'no clear change'],
    ['of a loss where air worked the other way', -1001, 300, 900, 'loss'],
    ['of a loss up to its band', -1000, 300, 900, 'no clear change'],
  ])('a change %s', (_, valueW, lowW, highW, expected) => {
    const d = difference(flat(6, valueW), flat(6, 1000));
    expect(verdictRegions(d, air(6, lowW, highW)).map(({ verdict }) => verdict)).toEqual([expected]);
  });

  it('two humps of one clear stretch are two gains that both say how far the change is clear', () => {
    const d = difference([...flat(5, 10_000), ...flat(4, 1500), ...flat(5, 10_000)], flat(14, 1000));
    const regions = verdictRegions(d, noAir(14));
    expect(regions.map(({ verdict, fromRpm, toRpm }) => [verdict, fromRpm, toRpm])).toEqual([
      ['gain', 3000, 3200],
      ['gain', 3450, 3650],
    ]);
    expect(regions.map(({ clearFromRpm, clearToRpm }) => [clearFromRpm, clearToRpm])).toEqual([
      [3000, 3650],
      [3000, 3650],
    ]);
  });

  it('half of its own level: a point at exactly half still belongs', () => {
    const at = (last: number) => {
      const d = difference([...flat(8, 9000), ...flat(2, last)], flat(10, 1000));
      return verdictRegions(d, noAir(10))[0]!.toRpm;
    };
    expect(at(4500)).toBe(3450);
    expect(at(4499)).toBe(3350);
  });

  it('a loss is measured by its size', () => {
    const d = difference([...flat(8, -9000), ...flat(4, -2000)], flat(12, 1000));
    expect(verdictRegions(d, noAir(12)).map(({ verdict, toRpm, clearToRpm }) => [verdict, toRpm, clearToRpm])).toEqual([
      ['loss', 3350, 3550],
    ]);
  });
});

describe('overallVerdict', () => {
  const verdictOf = (d: PowerDifference, share: AirShare, facts = known) =>
    overallVerdict(d, verdictRegions(d, share), airAlone(share), facts);

  it('says that outings were assumed, whatever the verdict', () => {
    const facts = { ...known, outingAssumed: true };
    const d = (valueW: number) => difference(flat(8, valueW), flat(8, 1000));
    expect(verdictOf(d(4000), noAir(8), facts)).toEqual({ verdict: 'gain', reasons: ['OUTING_ASSUMED'] });
    expect(verdictOf(d(-4000), noAir(8), facts)).toEqual({ verdict: 'loss', reasons: ['OUTING_ASSUMED'] });
    expect(verdictOf(d(0), noAir(8), facts)).toEqual({ verdict: 'no clear change', reasons: ['OUTING_ASSUMED'] });
    expect(verdictOf(d(4000), noAir(8), { ...facts, repeatabilityKnown: false })).toEqual({
      verdict: 'cannot tell',
      reasons: ['REPEATABILITY_UNKNOWN', 'OUTING_ASSUMED'],
    });
    expect(verdictOf(d(4000), noAir(8))).toEqual({ verdict: 'gain', reasons: [] });
  });

  it('bows to missing pulls first, then to missing overlap, then to one recording for both', () => {
    const d = difference(flat(8, 4000), flat(8, 1000));
    expect(overallVerdict(null, [], [], { ...known, missingPulls: true }).reasons).toEqual(['NO_PULLS']);
    expect(overallVerdict(null, [], [], known).reasons).toEqual(['NO_OVERLAP']);
    expect(
      overallVerdict({ ...d, identical: true }, verdictRegions(d, noAir(8)), airAlone(noAir(8)), { ...known, repeatabilityKnown: false }),
    ).toEqual({
      verdict: 'no clear change',
      reasons: ['SAME_FILE'],
    });
  });

  // 12 % is common practice, no source: a band as wide hides any change worth having.
  it.each([
    [12_000, 'no clear change', []],
    [12_001, 'cannot tell', ['BAND_TOO_WIDE']],
    [Number.NaN, 'cannot tell', ['BAND_TOO_WIDE']],
  ])('a band of ±%s W on 100 kW', (halfW, verdict, reasons) => {
    expect(verdictOf(difference(flat(9, 0), flat(9, halfW)), noAir(9))).toEqual({ verdict, reasons });
  });

  it('takes the middle of the band widths, not their worst', () => {
    const d = difference(flat(9, 0), [...flat(5, 2000), ...flat(4, 90_000)]);
    expect(verdictOf(d, noAir(9)).reasons).toEqual([]);
    const wide = difference(flat(9, 0), [...flat(4, 2000), ...flat(5, 90_000)]);
    expect(verdictOf(wide, noAir(9)).reasons).toEqual(['BAND_TOO_WIDE']);
  });

  it.each([
    ['four points in a row', [0, 3000, 3000, 3000, 3000, 0], ['AIR_COULD_EXPLAIN']],
    ['four points in two pieces', [3000, 3000, 3000, 0, 3000, 0], ['MAY_HIDE_A_CHANGE']],
    ['a loss of four points', [0, -3000, -3000, -3000, -3000, 0], ['AIR_COULD_EXPLAIN']],
  ])('air stands in the way of %s', (_, valuesW, reasons) => {
    const d = difference(valuesW, flat(6, 1000));
    const share = air(6, -2500, 2500);
    expect(overallVerdict(d, [], airAlone(share), known)).toEqual({ verdict: 'no clear change', reasons });
  });

  it.each([
    ['exactly as far as the air reaches', 3500, ['AIR_COULD_EXPLAIN']],
    ['its band touching zero', 1000, ['MAY_HIDE_A_CHANGE']],
    ['a loss exactly as far', -3500, ['AIR_COULD_EXPLAIN']],
    ['a loss whose band touches zero', -1000, ['MAY_HIDE_A_CHANGE']],
  ])('air explains a change %s', (_, valueW, reasons) => {
    expect(overallVerdict(difference(flat(6, valueW), flat(6, 1000)), [], airAlone(air(6, -2500, 2500)), known).reasons).toEqual(reasons);
  });

  it('has for every reason a sentence, a remedy, and what stands behind "Cannot tell"', () => {
    for (const { sentence, remedy } of Object.values(verdictReasons)) {
      expect(sentence).toMatch(/^[A-Z].*\.$/);
      expect(remedy).toMatch(/^[A-Z].*\.$/);
    }
    expect(verdictReasons.BAND_TOO_WIDE.sentence).toContain('wider than ±12 % of power');
    expect(Object.entries(verdictReasons).flatMap(([code, { severity }]) => (severity === 'note' ? [code] : []))).toEqual([
      'OUTING_ASSUMED',
    ]);
  });

  it.each([
    [['REPEATABILITY_UNKNOWN', 'OUTING_ASSUMED'], 'one pull a setup does not show how well pulls repeat'],
    [['OUTING_ASSUMED', 'BAND_TOO_WIDE', 'NO_PULLS'], 'a setup has no usable full-load pull'],
    [['AIR_COULD_EXPLAIN'], null],
  ] as const)('of %j the first that takes the answer away is said', (reasons, said) => {
    expect(whyNotTold(reasons)).toBe(said);
  });
});

describe('airShare', () => {
  it.each([
    ['none', 0.7, 1.2, 'no boost: power follows air density'],
    ['fixed-ratio', 0.5, 1.2, 'fixed-ratio blower: power follows air density, less surely'],
    ['controlled', 0, 0.7, 'controlled boost: the controller makes up for air density wholly or in part'],
    [null, 0, 1.2, 'the kind of boost control is not stated'],
  ] as const)('exponents of boost control %s', (kind, low, high, reason) => {
    expect(densityExponents(kind)).toEqual({ low, high, reason });
  });

  it('is P (r^q − 1) at both ends, the further one named', () => {
    const power = Float64Array.of(100_000, 200_000);
    const denser = airShare(power, 1.02, 0, densityExponents('none'));
    expect(denser.lowW[0]).toBeCloseTo(100_000 * (1.02 ** 0.7 - 1), 6);
    expect(denser.highW[1]).toBeCloseTo(200_000 * (1.02 ** 1.2 - 1), 6);
    expect([...denser.mostW]).toEqual([...denser.highW]);
    const thinner = airShare(power, 0.98, 0, densityExponents('none'));
    expect(thinner.lowW[0]).toBeCloseTo(100_000 * (0.98 ** 1.2 - 1), 6);
    expect(thinner.highW[0]).toBeCloseTo(100_000 * (0.98 ** 0.7 - 1), 6);
    expect([...thinner.mostW]).toEqual([...thinner.lowW]);
  });

  it('reaches 1.96 spreads of the density ratio to either side', () => {
    const share = airShare(Float64Array.of(100_000), 1.01, 0.02, densityExponents('none'));
    expect(share.highW[0]).toBeCloseTo(100_000 * ((1.01 * Math.exp(1.96 * 0.02)) ** 1.2 - 1), 6);
    expect(share.lowW[0]).toBeCloseTo(100_000 * ((1.01 * Math.exp(-1.96 * 0.02)) ** 1.2 - 1), 6);
  });
});
