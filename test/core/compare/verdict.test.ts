import { describe, expect, it } from 'vitest';
import {
  type AirShare,
  airShare,
  couldExplain,
  densityExponents,
  type Explanation,
  overallVerdict,
  type PowerDifference,
  verdictRegions,
} from '../../../packages/core/src/compare/index.js';
import { bandOf } from '../../../packages/core/src/uncertainty/index.js';

/** A difference with a flat band, made by hand: what the verdict should be is plain from the numbers. */
function difference(gainW: (rpm: number) => number, halfW: number): PowerDifference {
  const engineSpeedRpm = Float64Array.from({ length: 81 }, (_, i) => 2500 + 50 * i);
  const beforeW = engineSpeedRpm.map(() => 100_000);
  const differenceW = engineSpeedRpm.map(gainW);
  const shape = engineSpeedRpm.map(() => halfW / 1.959964);
  const band = bandOf({ shared: [{ name: 'all', shape, degrees: Number.POSITIVE_INFINITY }], covariance: null }, 81, { draws: 20_000 });
  return {
    engineSpeedRpm,
    beforeW,
    afterW: beforeW.map((w, i) => w + differenceW[i]!),
    differenceW,
    band,
    contrast: { before: Float64Array.of(-1), after: Float64Array.of(1), pullFactor: 2, outingFactor: 0 },
    parts: [],
    varianceW2: [],
    identical: false,
  };
}

const sameAir = (d: PowerDifference) => airShare(d.beforeW, 1, 0, densityExponents('none'));
const airAlone = (share: AirShare): Explanation[] => [{ name: 'air', standing: 'entered', sentence: '', settle: '', ...share }];
const known = {
  weatherUnknown: false,
  missingPulls: false,
  repeatabilityKnown: true,
  outingAssumed: false,
  speedInDoubt: false,
  contradicted: false,
};

describe('regions', () => {
  it('name a gain from where to where it is at least half of itself, and how far it fades', () => {
    // 8 kW to 4,000 rpm, falling straight to nothing at 5,000 rpm: half is at 4,500; the band of ±2 kW is left at 4,750.
    const d = difference((rpm) => 8000 * Math.min(1, Math.max(0, (5000 - rpm) / 1000)), 2000);
    const regions = verdictRegions(d, sameAir(d));
    expect(regions.map((region) => region.verdict)).toEqual(['gain', 'no clear change']);
    expect(Math.abs(regions[0]!.toRpm - 4500)).toBeLessThanOrEqual(100);
    expect(Math.abs(regions[0]!.clearToRpm - 4750)).toBeLessThanOrEqual(50);
    expect(regions[0]!.lowW).toBeGreaterThan(0);
    expect(regions[0]!.meanShare).toBeCloseTo(regions[0]!.meanW / 100_000, 12);
    expect(regions[1]!.fromRpm).toBeGreaterThan(4700);
  });

  it('leave out what is no number', () => {
    const d = difference((rpm) => (rpm < 3500 ? Number.NaN : 6000), 2000);
    expect(verdictRegions(d, sameAir(d)).map(({ verdict, fromRpm }) => [verdict, fromRpm])).toEqual([['gain', 3500]]);
    const none = difference(() => Number.NaN, 2000);
    expect(verdictRegions(none, sameAir(none))).toEqual([]);
  });

  it('name a loss as such, and both where both are', () => {
    const d = difference((rpm) => (rpm < 4000 ? 6000 : -6000), 2000);
    const regions = verdictRegions(d, sameAir(d));
    expect(regions.map((region) => region.verdict)).toEqual(['gain', 'loss']);
    expect(overallVerdict(d, regions, airAlone(sameAir(d)), known).verdict).toBe('mixed');
  });

  it('claim nothing from a spike shorter than 200 rpm', () => {
    const d = difference((rpm) => (Math.abs(rpm - 4000) < 60 ? 9000 : 0), 2000);
    expect(verdictRegions(d, sameAir(d)).filter((region) => region.verdict !== 'no clear change')).toEqual([]);
  });
});

describe('air', () => {
  it('takes the claim where its range covers the difference', () => {
    const d = difference(() => 3000, 1500);
    // 3 % denser air could bring a naturally aspirated engine 2.1 to 3.6 %.
    const air = airShare(d.beforeW, 1.03, 0, densityExponents('none'));
    expect(air.highW[0]).toBeCloseTo(100_000 * (1.03 ** 1.2 - 1), 6);
    const regions = verdictRegions(d, air);
    const { verdict, reasons } = overallVerdict(d, regions, airAlone(air), known);
    expect(verdict).toBe('no clear change');
    expect(reasons).toContain('AIR_COULD_EXPLAIN');
  });

  it('does not take it where the air worked the other way', () => {
    const d = difference(() => 3000, 1500);
    const air = airShare(d.beforeW, 0.97, 0, densityExponents('none'));
    expect(overallVerdict(d, verdictRegions(d, air), airAlone(air), known).verdict).toBe('gain');
  });

  it('explains little of a boost-controlled engine, and anything from 0 to 1.2 of an unknown one', () => {
    expect(densityExponents('controlled').low).toBe(0);
    expect(densityExponents('controlled').high).toBeLessThan(densityExponents('none').high);
    expect([densityExponents(null).low, densityExponents(null).high]).toEqual([0, 1.2]);
  });

  it('of unknown density reaches further than of known', () => {
    const before = Float64Array.of(100_000);
    const entered = airShare(before, 1, 0, densityExponents(null));
    const assumed = airShare(before, 1, 0.03, densityExponents(null));
    expect(entered.highW[0]).toBe(0);
    expect(assumed.highW[0]).toBeGreaterThan(3000);
    expect(assumed.lowW[0]).toBeLessThan(-3000);
  });
});

describe('overall verdict', () => {
  const quiet = difference(() => 500, 2000);
  it.each([
    ['no pulls', { ...known, missingPulls: true }, 'cannot tell', 'NO_PULLS'],
    ['one pull a setup', { ...known, repeatabilityKnown: false }, 'cannot tell', 'REPEATABILITY_UNKNOWN'],
    ['a speed that contradicts its name', { ...known, speedInDoubt: true }, 'cannot tell', 'SPEED_IN_DOUBT'],
  ])('%s', (_, facts, verdict, reason) => {
    const judged = overallVerdict(quiet, verdictRegions(quiet, sameAir(quiet)), airAlone(sameAir(quiet)), facts);
    expect(judged.verdict).toBe(verdict);
    expect(judged.reasons).toContain(reason);
  });
  it('without a common range', () => {
    expect(overallVerdict(null, [], [], known)).toEqual({ verdict: 'cannot tell', reasons: ['NO_OVERLAP'] });
  });
  it('with a band that could hide anything', () => {
    const wide = difference(() => 500, 20_000);
    expect(overallVerdict(wide, verdictRegions(wide, sameAir(wide)), airAlone(sameAir(wide)), known)).toEqual({
      verdict: 'cannot tell',
      reasons: ['BAND_TOO_WIDE'],
    });
  });
  it('never makes a verdict of NaN', () => {
    const broken = difference(() => Number.NaN, 2000);
    const judged = overallVerdict(broken, verdictRegions(broken, sameAir(broken)), airAlone(sameAir(broken)), known);
    expect(['no clear change', 'cannot tell']).toContain(judged.verdict);
  });
});

describe('could explain', () => {
  it.each([
    ['reaches the change', 3000, 1000, 0, 3500, 'yes'],
    ['reaches a third of it', 3000, 1000, 0, 1200, 'partly'],
    ['is too small', 3000, 1000, 0, 500, 'no'],
    ['works the other way', 3000, 1000, -4000, 0, 'no'],
    ['could hide a change that is not clear', 500, 1000, -3000, 0, 'cannot tell'],
    ['is too small to hide one', 500, 1000, -300, 0, 'no clear change'],
    ['reaches a loss', -3000, 1000, -3500, 0, 'yes'],
  ] as const)('an effect that %s', (_, changeW, halfW, lowW, highW, expected) => {
    expect(couldExplain(changeW, halfW, lowW, highW)).toBe(expected);
  });
});
