import { runTrial } from '@pullproof/core';
import { studyCases } from '@pullproof/simulation';
import { describe, expect, it } from 'vitest';
import { drawnPower, inputEffects, type PullConditions } from '../../../packages/core/src/power/index.js';

const study = studyCases.outingLuck!(3);
const run = (trial: string) =>
  runTrial(trial, 'trial.yaml', (path) => ({ chunks: new TextEncoder().encode(study.logs.get(path)!), sha256: () => path }));
const entered = run(study.trial);
const assumed = run(study.trial.replaceAll(', wind: 0 m/s, grade: 0 %', ''));

describe('budget of a setup and of a difference', () => {
  it('lists parts from the largest, whose shares and squares add up', () => {
    for (const budget of [entered.setups[0]!.budget!, entered.comparisons[0]!.budget!]) {
      const squares = budget.parts.reduce((sum, { contributionW }) => sum + contributionW ** 2, 0);
      expect(Math.abs(Math.sqrt(squares) / budget.spreadW - 1)).toBeLessThan(1e-9);
      expect(budget.parts.reduce((sum, { share }) => sum + share, 0)).toBeCloseTo(1, 9);
      const sizes = budget.parts.map(({ contributionW }) => contributionW);
      expect(sizes).toEqual([...sizes].sort((a, b) => b - a));
      for (const part of budget.parts) expect(part.remedy.length).toBeGreaterThan(10);
    }
  });

  it('keeps what both setups share out of the difference: mass, drag, gearing', () => {
    const own = entered.setups[0]!.budget!.parts;
    const difference = entered.comparisons[0]!.budget!.parts;
    for (const name of ['mass', 'rotating parts', 'speed scale, tyre slip and growth']) {
      const of = (parts: typeof own) => parts.find((part) => part.name === name)?.contributionW ?? 0;
      expect(of(difference), name).toBeLessThan(0.05 * of(own));
    }
  });

  it('gives every part its standing: entered where it was, assumed where it was not', () => {
    const standingOf = (result: typeof entered, name: string) => [
      result.setups[0]!.budget!.parts.find((part) => part.name === name)!.standing,
      result.comparisons[0]!.bandParts.find((part) => part.name === name)!.standing,
    ];
    expect(standingOf(entered, 'wind')).toEqual(['entered', 'entered']);
    expect(standingOf(assumed, 'wind')).toEqual(['assumed', 'assumed']);
    expect(standingOf(entered, 'pull-to-pull spread')).toEqual(['measured', 'measured']);
    expect(standingOf(entered, 'luck of the outing')).toEqual(['assumed', 'assumed']);
    const wind = assumed.setups[0]!.budget!.parts.find((part) => part.name === 'wind')!;
    expect(wind).toMatchObject({ value: 0, spread: 2, unit: 'm/s' });
  });

  it('agrees with draws of all inputs', () => {
    const { firstOrderW, drawnW, agrees, reason } = entered.setups[0]!.budget!.check;
    expect(agrees).toBe(true);
    expect(reason).toBeNull();
    expect(Math.abs(drawnW / firstOrderW - 1)).toBeLessThan(0.05);
    const inputs = entered.setups[0]!.budget!.parts.filter(({ unit, name }) => unit !== 'W' && !/pull-to-pull|luck/.test(name));
    // First order by differences of the whole balance, against the slopes that the band is made of.
    expect(Math.abs(Math.hypot(...inputs.map(({ contributionW }) => contributionW)) / firstOrderW - 1)).toBeLessThan(0.01);
  });

  it('draws the whole balance: the square of the wind moves the mean, the straight line gives the slope', () => {
    const conditions: PullConditions = {
      massKg: { value: 1600, spread: 0 },
      ownMassSpreadKg: 0,
      rotatingFactor: { value: 1.08, spread: 0 },
      airDensityKgPerM3: 1.18,
      dragAreaM2: { value: 0.69, spread: 0 },
      rollingCoefficient: { value: 0.0125, spread: 0 },
      windMps: { value: 0, spread: 8 },
      grade: { value: 0, spread: 0 },
      speedScaleSpread: 0,
      carKey: 'car',
      runKey: 'run',
      windKey: 'wind',
      gradeKey: 'grade',
    };
    const { keys, meanW } = drawnPower([{ conditions, powerW: 150e3, speedMps: 30 }]);
    const at = (offset: number) => meanW(keys.map((key) => (key === 'wind|wind' ? offset : 0)));
    // ½ρC_dA v w²: 0.5 · 1.18 · 0.69 · 30 · 64 = 781.6 W.
    expect((at(1) + at(-1)) / 2 - at(0)).toBeCloseTo(781.6, 1);
    expect((at(1) - at(-1)) / 2).toBeCloseTo(inputEffects(conditions, 150e3, 30).find(({ name }) => name === 'wind')!.powerW, 6);
  });
});
