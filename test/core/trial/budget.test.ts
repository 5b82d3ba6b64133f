import { runTrial } from '@pullproof/core';
import { studyCases } from '@pullproof/simulation';
import { describe, expect, it } from 'vitest';
import { checkByDraws } from '../../../packages/core/src/answers/power/budgetCheck.js';
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
});

const certain: PullConditions = {
  massKg: { value: 1600, spread: 0 },
  ownMassSpreadKg: 0,
  rotatingFactor: { value: 1.08, spread: 0 },
  airDensityKgPerM3: 1.18,
  dragAreaM2: { value: 0.69, spread: 0 },
  rollingCoefficient: { value: 0.0125, spread: 0 },
  windMps: { value: 0, spread: 0 },
  grade: { value: 0, spread: 0 },
  speedScaleSpread: 0,
  carKey: 'car',
  runKey: 'run',
  windKey: 'wind',
  gradeKey: 'grade',
};

describe('first order against draws', () => {
  const windy = { ...certain, windMps: { value: 0, spread: 8 } };

  it('draws the whole balance: the square of the wind moves the mean, the straight line gives the slope', () => {
    const { keys, meanW } = drawnPower([{ conditions: windy, powerW: 150e3, speedMps: 30 }]);
    const at = (offset: number) => meanW(keys.map((key) => (key === 'wind|wind' ? offset : 0)));
    // ½ρC_dA v w²: 0.5 · 1.18 · 0.69 · 30 · 64 = 781.6 W.
    expect((at(1) + at(-1)) / 2 - at(0)).toBeCloseTo(781.6, 1);
    expect((at(1) - at(-1)) / 2).toBeCloseTo(inputEffects(windy, 150e3, 30).find(({ name }) => name === 'wind')!.powerW, 6);
  });

  it('says why they disagree: the square of a wind that is hardly known', () => {
    // Source: by hand. A wind of 0 ± 8 m/s: slope ρC_dA v² w = 1.18 · 0.69 · 900 · 8 = 5862 W, square 781.6 W, so the mean lies 13 % of the spread beside.
    const { firstOrderW, shiftW, agrees, reason } = checkByDraws([{ conditions: windy, powerW: 150e3, speedMps: 30 }]);
    expect(firstOrderW).toBeCloseTo(5862.2, 0);
    expect(Math.abs(shiftW - 781.6)).toBeLessThan(3 * 0.02 * 5862);
    expect(agrees).toBe(false);
    expect(reason).toContain('wind does not act in a straight line');
    expect(reason).toContain('moves the mean by 782 W');
  });

  it('says why they disagree: a pull each way in an unknown wind, whose straight part cancels', () => {
    const pair = ([1, -1] as const).map((heading) => ({
      conditions: { ...windy, windMps: { value: 0, spread: 3 }, heading },
      powerW: 150e3,
      speedMps: 30,
    }));
    const { firstOrderW, drawnW, shiftW, agrees, reason } = checkByDraws(pair);
    // ½ρC_dA v w² with w = 3 m/s is 109.9 W; first order sees nothing.
    expect(firstOrderW).toBeLessThan(1e-6);
    expect(Math.abs(shiftW / 109.9 - 1)).toBeLessThan(0.05);
    expect(Math.abs(drawnW / (Math.SQRT2 * 109.9) - 1)).toBeLessThan(0.1);
    expect(agrees).toBe(false);
    expect(reason).toContain('wind does not act in a straight line');
  });

  it('says why they disagree: two inputs that act through each other', () => {
    // Mass and rotating factor multiply; half of each unknown spreads the power by more than both lines together say.
    const heavy = { ...certain, massKg: { value: 1600, spread: 800 }, rotatingFactor: { value: 1.08, spread: 0.54 } };
    const { firstOrderW, drawnW, agrees, reason } = checkByDraws([{ conditions: heavy, powerW: 150e3, speedMps: 30 }]);
    expect(agrees).toBe(false);
    expect(drawnW).toBeGreaterThan(1.05 * firstOrderW);
    expect(reason).toContain('mass and rotating parts act through each other');
  });

  it('agrees and gives no reason where the inputs are known as usual', () => {
    const usual = { ...certain, massKg: { value: 1600, spread: 15 }, windMps: { value: 0, spread: 0.5 } };
    expect(checkByDraws([{ conditions: usual, powerW: 150e3, speedMps: 30 }])).toMatchObject({ agrees: true, reason: null });
  });
});

describe('drag area and rolling coefficient of one fit to coast-downs', () => {
  const spreads = { dragAreaM2: { value: 0.69, spread: 0.02 }, rollingCoefficient: { value: 0.0125, spread: 0.0006 } };
  const covariance = -0.9 * 0.02 * 0.0006;
  const joint: PullConditions = { ...certain, ...spreads, roadLoadCovarianceM2: covariance };
  const spreadOf = (conditions: PullConditions) => Math.hypot(...inputEffects(conditions, 150e3, 30).map(({ powerW }) => powerW));

  it('enter with their covariance, which makes the power better known than either says', () => {
    // Source: JCGM 100:2008, eq. 13, with c₁ = ½ρv³ = 15930 W/m² and c₂ = m g v = 470719 W.
    const [c1, c2] = [0.5 * 1.18 * 30 ** 3, 1600 * 9.80665 * 30];
    const expected = Math.sqrt((c1 * 0.02) ** 2 + (c2 * 0.0006) ** 2 + 2 * c1 * c2 * covariance);
    expect(spreadOf(joint)).toBeCloseTo(expected, 6);
    expect(spreadOf(joint)).toBeLessThan(0.5 * spreadOf({ ...joint, roadLoadCovarianceM2: 0 }));
  });

  it('are drawn together: the draws have the same spread', () => {
    const { firstOrderW, drawnW, agrees } = checkByDraws([{ conditions: joint, powerW: 150e3, speedMps: 30 }]);
    expect(agrees).toBe(true);
    expect(firstOrderW).toBeCloseTo(spreadOf(joint), 6);
    expect(Math.abs(drawnW / firstOrderW - 1)).toBeLessThan(0.03);
  });
});
