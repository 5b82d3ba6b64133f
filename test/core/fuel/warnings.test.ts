import { describe, expect, test } from 'vitest';
import { pullWarnings, type WatchedPull } from '../../../packages/core/src/fuel/index.js';

const timeS = Float64Array.from({ length: 60 }, (_, i) => i / 15);

function pull(changes: Partial<WatchedPull> = {}): WatchedPull {
  return {
    name: 'demo.csv at 12.0 s',
    path: 'demo.csv',
    setup: 'small pulley',
    timeS,
    engineSpeedRpm: timeS.map((t) => 3000 + 900 * t),
    stationPressurePa: 99000,
    manifoldPressurePa: timeS.map(() => 165000),
    lambda: [timeS.map(() => 0.8)],
    knockRetardDeg: timeS.map(() => 0.5),
    chargeTemperatureK: timeS.map((t) => 310 + 4 * t),
    fuelPressurePa: timeS.map(() => 3e5),
    injectorDuty: timeS.map((t) => 0.4 + 0.1 * t),
    driveRatio: 2,
    ...changes,
  };
}

const limits = { leanestLambda: 0.86, targetLambda: 0.8, maxRotorSpeedRpm: 16000 };

describe('pullWarnings', () => {
  test('a healthy pull: nothing alarming, and the word safe never falls', () => {
    const result = pullWarnings([pull()], limits);
    expect(result.level).toBe('nothing alarming seen');
    expect(result.findings).toEqual([]);
    expect(result.details.map((detail) => detail.level)).toEqual(Array(6).fill('nothing alarming seen'));
    expect(JSON.stringify(result)).not.toMatch(/safe/i);
  });

  test('a reading is told by its own time in the log, not by that of its pull', () => {
    // Row 45 on, at 3.0 s of the log, where the engine turns 3,000 + 900 · 3 = 5,700 rpm.
    const late = (low: number, high: number) => timeS.map((_, i) => (i < 45 ? low : high));
    const result = pullWarnings(
      [
        pull({
          name: 'demo.csv at 0.0 s',
          lambda: [late(0.8, 0.9)],
          knockRetardDeg: timeS.map((_, i) => (i === 45 ? 6 : 0)),
          chargeTemperatureK: late(310, 380),
          fuelPressurePa: late(3e5, 2.4e5),
          injectorDuty: late(0.4, 0.99),
        }),
      ],
      limits,
    );
    const told = [...result.details, ...result.findings.map(({ message }) => ({ quantity: 'finding', text: message }))].filter(
      ({ quantity }) => !/rotor/.test(quantity),
    );
    expect(told.length).toBeGreaterThan(9);
    for (const { text } of told) expect(text).toContain('demo.csv at 3.0 s');
    for (const { where } of result.findings) expect(where).toMatchObject({ fromTimeS: 3, fromRpm: 5700 });
  });

  test.each<[string, Partial<WatchedPull>, string]>([
    ['lean beyond the limit under boost', { lambda: [timeS.map((t) => (t > 3 ? 0.9 : 0.8))] }, 'W_LEAN_UNDER_BOOST'],
    ['lean on one bank only', { lambda: [timeS.map(() => 0.8), timeS.map((t) => (t > 3 ? 0.9 : 0.8))] }, 'W_LEAN_UNDER_BOOST'],
    [
      'lean against what was commanded',
      { lambda: [timeS.map(() => 0.82)], commandedLambda: timeS.map(() => 0.77) },
      'W_LEANER_THAN_TARGET',
    ],
    ['knock retard large', { knockRetardDeg: timeS.map((t) => (t > 3 ? 6 : 0)) }, 'W_KNOCK'],
    ['knock retard large, logged as negative', { knockRetardDeg: timeS.map((t) => (t > 3 ? -6 : 0)) }, 'W_KNOCK'],
    ['knock retard growing in the pull', { knockRetardDeg: timeS.map((t) => 0.95 * t) }, 'W_KNOCK_GROWING'],
    ['charge heat', { chargeTemperatureK: timeS.map((t) => 330 + 12 * t) }, 'W_CHARGE_HOT'],
    ['fuel pressure sagging', { fuelPressurePa: timeS.map((t) => 3e5 - 12000 * t) }, 'W_FUEL_PRESSURE_SAG'],
    ['rotor too fast', { driveRatio: 2.5 }, 'W_ROTOR_SPEED'],
    ['duty beyond its limit', { injectorDuty: timeS.map((t) => 0.7 + 0.1 * t) }, 'W_INJECTOR_DUTY'],
  ])('%s says stop, where, and what to do', (_, changes, code) => {
    const result = pullWarnings([pull(changes)], limits);
    expect(result.level).toBe('stop');
    expect(result.sentence).toMatch(/^Stop/);
    const finding = result.findings.find((one) => one.code === code);
    expect(finding).toBeDefined();
    expect(finding!.where.path).toBe('demo.csv');
    expect(finding!.fix.length).toBeGreaterThan(20);
  });

  test('measured 12.4 for 11.8 wanted is beyond a twentieth, 12.3 is not', () => {
    // Source: FORMULAS.md CK-6.10 for the ratio 1.050847.
    const at = (afr: number): string =>
      pullWarnings([pull({ lambda: [timeS.map(() => afr / 14.7)] })], { targetLambda: 11.8 / 14.7 }).level;
    expect(at(12.4)).toBe('stop');
    expect(at(12.3)).toBe('nothing alarming seen');
  });

  test('one stray lean reading and the old gas of the first half second decide nothing', () => {
    const stray = timeS.map((t, i) => (i === 40 ? 1.3 : t < 0.45 ? 1.02 : 0.8));
    expect(pullWarnings([pull({ lambda: [stray] })], limits).level).toBe('nothing alarming seen');
  });

  test('a rail that follows manifold pressure is judged by the pressure across the injector', () => {
    // Rail stands still while boost rises by 60 kPa: across the injector that is a sag of a fifth.
    const rising = { manifoldPressurePa: timeS.map((t) => 105000 + 15000 * t), fuelPressurePa: timeS.map(() => 3e5) };
    expect(pullWarnings([pull(rising)], { ...limits, fuelRail: 'referenced' }).level).toBe('stop');
    expect(pullWarnings([pull(rising)], { ...limits, fuelRail: 'fixed' }).level).toBe('nothing alarming seen');
  });

  test('knock that grows from pull to pull is seen though no pull reaches the limit', () => {
    const pulls = [0.5, 1, 2.2, 3.4].map((deg) => pull({ knockRetardDeg: timeS.map(() => deg) }));
    const result = pullWarnings(pulls, limits);
    expect(result.level).toBe('stop');
    expect(result.findings.map((one) => one.code)).toEqual(['W_KNOCK_GROWING']);
  });

  test('heat left from pull to pull is a finding without being a reason to stop', () => {
    const pulls = [300, 308, 318].map((start) => pull({ chargeTemperatureK: timeS.map((t) => start + 4 * t) }));
    const result = pullWarnings(pulls, limits);
    expect(result.level).toBe('nothing alarming seen');
    expect(result.findings.map((one) => one.code)).toEqual(['W_CHARGE_HEATING']);
  });

  test('a warmer day is no heat left over: pulls are compared within their outing, or within their log', () => {
    const at = (kelvin: number, where: object) => pull({ chargeTemperatureK: timeS.map((t) => kelvin + 4 * t), ...where });
    const codes = (pulls: ReturnType<typeof pull>[]) => pullWarnings(pulls, limits).findings.map(({ code }) => code);
    expect(codes([at(300, { outing: 'may' }), at(318, { outing: 'july' })])).toEqual([]);
    expect(codes([at(300, { path: 'a.csv' }), at(318, { path: 'b.csv' })])).toEqual([]);
    expect(codes([at(300, { outing: 'may' }), at(310, { outing: 'july' }), at(322, { outing: 'july' })])).toEqual(['W_CHARGE_HEATING']);
  });

  test('without lambda the line never gets better than not measured', () => {
    const result = pullWarnings([pull({ lambda: null })], limits);
    expect(result.level).toBe('not measured');
    expect(result.details[0]).toMatchObject({ quantity: 'lambda', level: 'not measured' });
    const blank = pullWarnings([pull({ lambda: [timeS.map(() => Number.NaN)] })], limits);
    expect(blank.level).toBe('not measured');
    expect(pullWarnings([], limits).level).toBe('not measured');
  });

  test('an array of another length is refused', () => {
    expect(() => pullWarnings([pull({ injectorDuty: new Float64Array(3) })], limits)).toThrow('E_LENGTHS');
  });

  test('retard below a limit that is assumed is said with it, in the line itself; below one entered, or none to speak of, it is not', () => {
    const line = (deg: number, entered: number | null = null): string =>
      pullWarnings([pull({ knockRetardDeg: timeS.map((t) => (t > 3 ? deg : 0)) })], { ...limits, maxKnockRetardDeg: entered }).sentence;
    const said = 'Knock control pulled up to 2.0° of timing; limit 4.0° (assumed).';
    expect(line(2)).toBe(
      `Nothing alarming seen in what was logged: lambda, knock retard, charge temperature, fuel pressure, injector duty, rotor speed. ${said} Limits assumed, not entered: knock retard, charge temperature, injector duty.`,
    );
    expect(pullWarnings([pull({ lambda: null, knockRetardDeg: timeS.map(() => -2) })], limits).sentence).toContain(said);
    for (const quiet of [line(2, 4), line(0), line(0.4)]) expect(quiet).not.toContain('(assumed)');
    expect(line(2, 4)).toContain('Limits assumed, not entered: charge temperature, injector duty.');
    expect(line(5)).toMatch(/^Stop/);
    expect(line(5)).not.toContain('Limits assumed');
  });

  test('a limit nobody entered is listed as assumed', () => {
    const assumed = pullWarnings([pull()], { maxRotorSpeedRpm: 16000 }).assumptions;
    expect(assumed.map((one) => [one.quantity, one.value])).toEqual([
      ['leanest lambda allowed at full load', 0.9],
      ['largest knock retard allowed at full load', 4],
      ['hottest charge allowed at full load', 363.15],
      ['largest injector duty allowed', 0.9],
    ]);
  });

  test('slow channels are judged between their readings', () => {
    // Manifold pressure every fifth row, lambda every third: boost is known where lambda is read.
    const sparse = (values: Float64Array, every: number): Float64Array => values.map((value, i) => (i % every === 0 ? value : Number.NaN));
    const result = pullWarnings(
      [
        pull({
          manifoldPressurePa: sparse(
            timeS.map(() => 165000),
            5,
          ),
          lambda: [
            sparse(
              timeS.map((t) => (t > 2 ? 0.91 : 0.8)),
              3,
            ),
          ],
        }),
      ],
      limits,
    );
    expect(result.findings.map((one) => one.code)).toContain('W_LEAN_UNDER_BOOST');
  });
});

describe('fuel pressure by what the rail does', () => {
  const risingPa = timeS.map((t) => 120000 + 15000 * t);
  const following = { manifoldPressurePa: risingPa, fuelPressurePa: risingPa.map((pa) => 300000 + pa - 99000) };

  test('a rail that follows falling boost does not sag', () => {
    const fallingPa = timeS.map((t) => 180000 - 15000 * t);
    const one = pull({ manifoldPressurePa: fallingPa, fuelPressurePa: fallingPa.map((pa) => 300000 + pa - 99000) });
    const fuel = (rail: 'referenced' | 'fixed' | null): string =>
      pullWarnings([one], { ...limits, fuelRail: rail }).details.find(({ quantity }) => quantity === 'fuel pressure')!.level;
    expect(fuel('referenced')).toBe('nothing alarming seen');
    expect(fuel('fixed')).toBe('stop');
  });

  test('where nobody said, the reading that sags less is taken, and that is said', () => {
    const result = pullWarnings([pull(following)], limits);
    const detail = result.details.find(({ quantity }) => quantity === 'fuel pressure')!;
    expect(detail.level).toBe('nothing alarming seen');
    expect(detail.text).toContain('Nobody said whether the rail follows manifold pressure');
  });

  test('a following rail whose pump gives out is a stop, though the rail itself does not fall', () => {
    const one = pull({ manifoldPressurePa: risingPa, fuelPressurePa: timeS.map(() => 320000) });
    expect(pullWarnings([one], { ...limits, fuelRail: 'referenced' }).level).toBe('stop');
  });
});

// Common practice, no source: half a degree is the step of many knock controls, and less is not worth a word up front.
test.each([
  [0.5, true],
  [0.4, false],
])('a knock retard of %f° is said in the first sentence: %s', (degrees, said) => {
  const result = pullWarnings([pull({ knockRetardDeg: timeS.map(() => degrees) })], limits);
  expect(result.sentence.includes('Knock control pulled')).toBe(said);
});
