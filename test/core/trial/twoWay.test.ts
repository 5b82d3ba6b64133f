import { runTrial } from '@pullproof/core';
import { makeLog, plainLogger, studyAir, studyCar, studyPowerW } from '@pullproof/simulation';
import { describe, expect, it } from 'vitest';
import { directionFindings, headingsOf } from '../../../packages/core/src/pulls/headings.js';
import { studyTrialYaml } from '../../../packages/simulation/src/studyCar.js';

const windMps = 3;
const pulls = 3;

/** A trial whose setups each have pulls north and south in a steady wind from the north that nobody entered. */
function inWind(directions: readonly (readonly ['north' | 'south', number])[], blowsMps = windMps) {
  const logs = new Map<string, string>();
  const names = ['before', 'after'];
  const setups = names.map((name, s) => ({
    name,
    runs: directions.map(([direction, count]) => {
      const log = `${name}-${direction}.csv`;
      const made = makeLog({
        car: studyCar,
        around: { ...studyAir, headwindMps: direction === 'north' ? blowsMps : -blowsMps },
        engine: { fullLoadWheelPowerW: studyPowerW },
        phases: Array.from({ length: count }, () => ({ kind: 'pull', gear: 3, fromRpm: 2400, toRpm: 6600, leadS: 2 }) as const),
        logger: plainLogger({ rateHz: 50, engineSpeed: { noise: 0.5, step: 0.1, decimals: 1 }, roadSpeed: { step: 0.01, decimals: 2 } }),
        seed: 10 * s + (direction === 'north' ? 1 : 2),
        stepS: 0.01,
      });
      logs.set(log, made.text);
      return { log, outing: `saturday, direction: ${direction}` };
    }),
  }));
  const trial = studyTrialYaml('wind', setups).replaceAll('wind: 0 m/s, ', '');
  return runTrial(trial, 'trial.yaml', (path) => ({ chunks: new TextEncoder().encode(logs.get(path)!), sha256: () => path }));
}

describe('pulls both ways along a road', () => {
  const result = inWind([
    ['north', pulls],
    ['south', pulls],
  ]);
  const [before] = result.setups;

  it('tell the wind along it', () => {
    const [wind] = before!.twoWay!;
    expect(wind).toMatchObject({ outing: 'outing saturday', pullsEachWay: [pulls, pulls] });
    expect(Math.abs(wind!.windMps - windMps)).toBeLessThan(0.1);
    expect(wind!.windSpreadMps).toBeLessThan(0.6);
  });

  it('leave in their mean the square of the wind, as stated, within 20 %', () => {
    const [wind] = before!.twoWay!;
    const curve = before!.curves.wheelPowerW!;
    let bias = 0;
    let stated = 0;
    curve.engineSpeedRpm.forEach((rpm, i) => {
      if (rpm < 3000 || rpm > 6300) return;
      bias += studyPowerW(rpm) - curve.value[i]!;
      stated += wind!.squareW[i]!;
    });
    expect(stated).toBeGreaterThan(0);
    expect(Math.abs(bias / stated - 1)).toBeLessThan(0.2);
  });

  it('take the wind out of the band of the mean, which one direction alone keeps', () => {
    const windOf = (trial: typeof result) => trial.setups[0]!.budget!.parts.find(({ name }) => name === 'wind')?.contributionW ?? 0;
    const oneWay = inWind([['north', pulls]]);
    expect(oneWay.setups[0]!.twoWay).toEqual([]);
    expect(windOf(oneWay)).toBeGreaterThan(1000);
    expect(windOf(result)).toBeLessThan(0.03 * windOf(oneWay));
  });

  it('do not pass for pulls that repeat badly', () => {
    expect(result.setups[0]!.repeatability.value!).toBeLessThan(0.005);
  });

  it('are told only where it matters: not as many each way in so little wind', () => {
    const calm = inWind(
      [
        ['north', 3],
        ['south', 3],
      ],
      0.3,
    );
    expect(calm.findings.map(({ code }) => code)).not.toContain('TWO_WAY_WIND');
    const windy = result.findings.find(({ code }) => code === 'TWO_WAY_WIND')!;
    expect(windy.fix).toMatch(/calmer day/);
  });

  it('say which pulls have no partner', () => {
    const uneven = inWind([
      ['north', 3],
      ['south', 2],
    ]);
    const finding = uneven.findings.find(({ code }) => code === 'TWO_WAY_WIND')!;
    expect(finding.message).toContain('1 of 5 pulls have no partner');
  });
});

describe('directions', () => {
  it.each([
    [['north', 'south'], 'north', 'south'],
    [['Southbound', 'northbound'], 'northbound', 'Southbound'],
    [['out', 'back', null], 'out', 'back'],
    [['to the mill', 'from the mill'], 'to the mill', 'from the mill'],
    [['east', 'north', 'west'], 'east', 'west'],
  ] as const)('of %j: %s and %s are opposite', (names, one, other) => {
    const along = headingsOf(names);
    expect(along(one).heading).toBe(1);
    expect(along(other).heading).toBe(-1);
    expect(along(one).road).toBe(along(other).road);
  });

  it('without an opposite are roads of their own', () => {
    const along = headingsOf(['north', 'ring road', 'pier']);
    expect(new Set(['north', 'ring road', 'pier'].map((name) => along(name).road)).size).toBe(3);
    expect(along(null)).toEqual({ heading: 1, road: null });
  });

  it('one that stands alone beside others, or looks mistyped, is told with the nearest word', () => {
    const told = (...directions: (string | null)[]): string[] =>
      directionFindings(directions.map((direction, i) => ({ direction, log: `${i}.csv`, setup: 'base' }))).map(
        ({ code, message, where, fix }) => `${code} ${where.path} ${/"(.*)"/.exec(message)![1]}: ${fix}`,
      );
    expect(told('north', 'south', 'nroth')).toEqual(['W_DIRECTION_ALONE 2.csv nroth: If north is meant, write north.']);
    // Mistyped, the second of two is not taken for the way back.
    expect(headingsOf(['north', 'nroth'])('nroth').heading).toBe(1);
    expect(told('north', 'nroth').at(-1)).toBe('W_DIRECTION_ALONE 1.csv nroth: If north is meant, write north.');
    // Mistyped for the opposite, it is the way back all the same.
    expect(headingsOf(['north', 'sotuh'])('sotuh').heading).toBe(-1);
    expect(told('nroth', null)).toEqual(['W_DIRECTION_ALONE 0.csv nroth: If north is meant, write north.']);
    expect(told('north', 'south', 'ring road')).toEqual([
      'W_DIRECTION_ALONE 2.csv ring road: Name the ways of one road by opposites, such as north and south.',
    ]);
    for (const fine of [['north'], ['Northbound', 'south'], ['to the mill', 'from the mill'], ['out', 'back', null], [null]])
      expect(told(...fine)).toEqual([]);
  });
});
