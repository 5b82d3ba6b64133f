import type { TrialResult } from '@pullproof/core';
import { describe, expect, it } from 'vitest';

interface Study {
  readonly kinds: readonly { readonly name: string }[];
  readonly answerTo: (name: string, seed: number, gain: number) => TrialResult;
  readonly mistaken: (
    kind: { readonly name: string },
    seed: number,
    gain: number,
  ) => { readonly false: boolean; readonly named: boolean; readonly verdict: string };
}

const study = (await import(new URL('../../bench/mistakeStudy.js', import.meta.url).href)) as Study;
// Seeds that nothing was tuned on.
const seed = 7001;

/** Mistake as made, mistakes that may be named (the first of them must be), what the finding says. */
const told: readonly (readonly [made: string, named: readonly string[], says: RegExp])[] = [
  ['final drive of another axle', ['final-drive', 'tyre-radius'], /final drive of 4\.35 is wrong/],
  ['tire diameter as radius', ['tyre-radius'], /is the diameter, not the radius/],
  ['pounds typed as kilograms on the scale', ['mass'], /is a number of pounds/],
  ['pressure with digits swapped in one setup', ['station-pressure'], /the barometer in the log/],
  ['Fahrenheit number typed as Celsius', ['air-temperature'], /a number in °F was entered as °C/],
  ['blower pulleys of the setups swapped', ['swapped-setups', 'pulley'], /they go opposite ways/],
  ['mph named km/h in one setup', ['speed-unit'], /mph but named km\/h/],
  ['speedometer recalibrated by 4 % between setups', ['speed-scale', 'tyre-radius'], /road speed/i],
  ['engine speed halved in both', ['engine-speed'], /logged at half its value/],
  ['time written at half its length in both', ['time-scale', 'rolling-coefficient'], /runs 2 times too fast/],
  ['wind with the wrong sign', ['wind'], /wrong sign \(headwind is positive\)/],
  ['fuel level of one setup a digit short', ['fuel'], /more than an engine burns/],
  ['redline with a digit wrong', ['redline'], /car\.redline is mistyped/],
];

describe('what is known twice is compared, and the likeliest mistake named', () => {
  it.each(told)(
    '%s',
    (made, named, says) => {
      const result = study.answerTo(made, seed, 0.05);
      const contradictions = result.contradictions ?? [];
      const mistakes = contradictions.flatMap((one) => one.mistakes.map(({ name }) => name));
      expect(mistakes[0]).toBe(named[0]);
      // A wrong mistake is never named.
      for (const name of mistakes) expect(named).toContain(name);
      const messages = result.findings.filter(({ code }) => code === 'W_CONTRADICTION').map(({ message }) => message);
      expect(messages).toHaveLength(contradictions.length);
      expect(messages.join(' ')).toMatch(says);
      for (const { sources, effects, setups } of contradictions) {
        expect(sources).toHaveLength(2);
        expect(setups.length).toBeGreaterThan(0);
        for (const { share } of effects) expect(Number.isFinite(share)).toBe(true);
      }
    },
    60_000,
  );

  it('a contradiction worth more than the claim leaves nothing to claim, and is said first', () => {
    const [overall] = study.answerTo('blower pulleys of the setups swapped', seed, 0.05).overall;
    expect(overall!.verdict).toBe('cannot tell');
    expect(overall!.reasons).toContain('CONTRADICTION');
    expect(overall!.because![0]!.sentence).toMatch(/the pulley sizes, or the logs, of the two setups are swapped/);
  }, 60_000);

  it('one that moves both setups alike does not block', () => {
    const [overall] = study.answerTo('final drive of another axle', seed, 0.05).overall;
    expect(overall!.verdict).toBe('gain');
  }, 60_000);
});

it('a sound trial has no contradiction, and its gain is found', () => {
  for (const own of [seed, seed + 1, seed + 2]) {
    const result = study.answerTo('', own, 0.05);
    expect(result.contradictions).toEqual([]);
    expect(result.overall[0]!.verdict).toBe('gain');
  }
}, 60_000);

describe('lambda that is none', () => {
  it.each(['narrowband voltage as lambda, lean engine', 'lambda reads 12 % rich', 'air-fuel ratio of a 14.7 gauge taken by 16.5'])(
    '%s: not measured, and why',
    (made) => {
      const { warning } = study.answerTo(made, seed, 0);
      expect(warning.level).toBe('not measured');
      expect(warning.sentence).toMatch(/Lambda was logged, but /);
    },
    60_000,
  );
});

it('a verdict that claims what is not there counts as false, one that holds back does not', () => {
  const kind = (name: string) => study.kinds.find((one) => one.name === name)!;
  const passenger = study.mistaken(kind('a passenger of 80 kg in one setup, not entered'), seed, 0);
  expect([passenger.verdict, passenger.false]).toEqual(['loss', true]);
  const halved = study.mistaken(kind('engine speed halved in both'), seed, 0.05);
  expect([halved.verdict, halved.false, halved.named]).toEqual(['cannot tell', false, true]);
}, 60_000);
