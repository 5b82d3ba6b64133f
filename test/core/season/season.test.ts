import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { parseTrial, runTrial, seasonOfTrials } from '@pullproof/core';
import { describe, expect, it } from 'vitest';
import { estimateOf, fitMixedModel, randomStream, studentTTwoSided } from '../../../packages/core/src/maths/index.js';
import { assumedRepeatability } from '../../../packages/core/src/power/index.js';
import { mergeTrials } from '../../../packages/core/src/trial/index.js';

const sample = (name: string): string => fileURLToPath(new URL(`../../../sample-logs/${name}`, import.meta.url));
const text = readFileSync(sample('trial.yaml'), 'utf8');
const open = (_: number, log: string) => ({ chunks: readFileSync(sample(log)) });

/** The sample as two trials: the cooler's day, then the pulley's. */
function halves(): { text: string; path: string }[] {
  const parts = text.split(/\n(?= {2}- name: )/);
  const [head, base, cooler, last] = parts;
  const [pulley, slips] = last!.split(/\n(?=slips:)/);
  const only = (runs: string, outing: string): string =>
    runs
      .split(/\n(?= {6}- log: )/)
      .filter((part, i) => i === 0 || part.includes(`outing: ${outing}`))
      .join('\n');
  return [
    { path: 'may/cooler.yaml', text: [head, only(base!, 'saturday'), cooler].join('\n').replace(/title: .*/, 'title: Cooler') },
    { path: 'may/pulley.yaml', text: [head, only(base!, 'sunday'), pulley, slips].join('\n').replace(/title: .*/, 'title: Pulley') },
  ];
}

describe('a season', () => {
  it('of one trial is its comparison', () => {
    const season = seasonOfTrials([{ text, path: 'trial.yaml' }], open);
    const trial = runTrial(text, 'trial.yaml', (log) => open(0, log));
    expect(season.overall).toEqual(trial.overall);
    expect(season.comparisons[0]!.wheelPowerW).toEqual(trial.comparisons[0]!.wheelPowerW);
    expect(season.setups.map(({ name }) => name)).toEqual(trial.setups.map(({ name }) => name));
  });

  it('of two trials joined by their base says what one trial of all says', () => {
    const whole = seasonOfTrials([{ text, path: 'trial.yaml' }], open);
    const joined = seasonOfTrials(halves(), open);
    expect(joined.setups.map(({ name, pulls, outings }) => [name, pulls, outings])).toEqual(
      whole.setups.map(({ name, pulls, outings }) => [name, pulls, outings]),
    );
    for (const [i, { change }] of joined.setups.entries()) {
      if (change === null) continue;
      expect(change.value).toBeCloseTo(whole.setups[i]!.change!.value, 9);
      expect(change.high).toBeCloseTo(whole.setups[i]!.change!.high, 9);
    }
    expect(joined.days.map(({ name }) => name)).toEqual(['saturday, 2026-05-16', 'sunday, 2026-05-17']);
    expect(joined.slips.filter(({ best }) => best).map(({ setup }) => setup)).toEqual(['base', '74 mm pulley']);
    expect(joined.logBook.map(({ trial }) => trial)).toContain('Cooler');
  });

  // Source: the simulated car's own power, which no air changes; so what carries it to one air is taken out of it as it is put into the answer.
  it('agrees with the truth of the simulated car', () => {
    const { setups, days, air } = seasonOfTrials(halves(), open);
    const densityOf = (name: string): number => {
      const own = days.filter((day) => day.setups.includes(name));
      return own.reduce((sum, { airDensityKgPerM3 }) => sum + airDensityKgPerM3, 0) / own.length;
    };
    const truth = JSON.parse(readFileSync(sample('truth.json'), 'utf8')) as {
      engineSpeedRpm: number[];
      setups: { name: string; wheelPowerW: number[] }[];
    };
    expect(truth.setups.length).toBeGreaterThan(1);
    const meanOf = (name: string): number => {
      const one = truth.setups.find((setup) => setup.name === name)!;
      const at = truth.engineSpeedRpm.flatMap((rpm, i) => (rpm >= 2550 && rpm <= 6550 ? [Math.log(one.wheelPowerW[i]!)] : []));
      return Math.exp(at.reduce((sum, value) => sum + value, 0) / at.length);
    };
    for (const { name, change } of setups) {
      if (change === null) continue;
      const share = (meanOf(name) / meanOf('base')) * (densityOf('base') / densityOf(name)) ** air!.exponent - 1;
      expect(share, name).toBeGreaterThan(change.low);
      expect(share, name).toBeLessThan(change.high);
    }
  });

  it('a name that means two states of the car is told apart, and a run that two trials list counts once', () => {
    const other = text.replace('    blower-pulley: 79 mm\n    calibration: road 4', '    blower-pulley: 82 mm\n    calibration: road 4');
    const { file, inputs } = mergeTrials([parseTrial(text, 'a.yaml'), parseTrial(other.replace(/title: .*/, 'title: Later'), 'a.yaml')]);
    expect(file.setups.map(({ name }) => name)).toContain('base (Later)');
    const cooler = inputs.setups.find(({ name }) => name === 'large charge cooler')!;
    expect(new Set(cooler.runs.map(({ log }) => log)).size).toBe(cooler.runs.length);
  });

  it('what it measured of days can be handed to a later trial', () => {
    const withDays = `${text}\nday-to-day: { spread: 0.3 %, days: 12 }\n`;
    const margin = (trial: string): number => {
      const { low, high } = runTrial(trial, 'trial.yaml', (log) => open(0, log)).comparisons[0]!.wheelPowerW;
      return high[40]! - low[40]!;
    };
    expect(margin(withDays)).toBeLessThan(margin(text));
  });

  // What a margin promises: seasons drawn from the assumed spread of days, 2 to 30 days, setups before-after-before. Where few are drawn, chance has its share.
  it.each([
    [2, 1500, 0],
    [4, 1500, 0],
    [8, 1000, 0],
    [30, 150, 0.02],
  ])('of %i days has margins that hold in 93 to 97 of 100', (days, seasons, chance) => {
    const random = randomStream(90 + days);
    const { pullToPull, pullWorth, outingToOuting, outingWorth } = assumedRepeatability;
    let held = 0;
    for (let s = 0; s < seasons; s++) {
      // The variance of days is drawn from its own prior: scaled inverse chi-squared.
      let chi = 0;
      for (let k = 0; k < outingWorth; k++) chi += random.normal() ** 2;
      const ofDays = outingToOuting * Math.sqrt(outingWorth / chi);
      const y: number[] = [];
      const x: number[][] = [];
      const group: string[] = [];
      for (let day = 0; day < days; day++) {
        const own = ofDays * random.normal();
        const after = day % 2;
        for (let pull = 0; pull < 3; pull++) {
          y.push(0.03 * after + own + 0.008 * random.normal());
          x.push([1 - after, after]);
          group.push(`${day}`);
        }
      }
      const prior = {
        between: { variance: outingToOuting ** 2, worth: outingWorth },
        within: { variance: pullToPull ** 2, worth: pullWorth },
      };
      const model = { y, x, group, prior };
      const { value, spread, degrees } = estimateOf(model, fitMixedModel(model)!, [-1, 1]);
      if (Math.abs(value - 0.03) <= studentTTwoSided(0.95, degrees) * spread) held++;
    }
    expect(held / seasons).toBeGreaterThan(0.93 - chance);
    expect(held / seasons).toBeLessThan(0.97 + chance);
  });

  // 300 seasons of four setups over six days: how often the order of the setups comes out right, beside one who knows both variances.
  it('ranks setups right as often as one who knows the truth, within 2 in 100', () => {
    const random = randomStream(300);
    const { pullToPull, pullWorth, outingToOuting, outingWorth } = assumedRepeatability;
    let [right, rightKnowing] = [0, 0];
    for (let s = 0; s < 300; s++) {
      const truth = [0, 0.01, 0.02, 0.035].map((value) => value + 0.002 * random.normal());
      const ofDays = 0.004 + 0.008 * random.uniform();
      const days = Array.from({ length: 6 }, () => ofDays * random.normal());
      const rows = days.flatMap((own, day) =>
        [day % 4, (day + 1) % 4].flatMap((setup) =>
          Array.from({ length: 2 }, () => ({ setup, day, y: truth[setup]! + own + 0.006 * random.normal() })),
        ),
      );
      const model = {
        y: rows.map(({ y }) => y),
        x: rows.map(({ setup }) => truth.map((_, k) => (k === setup ? 1 : 0))),
        group: rows.map(({ day }) => `${day}`),
      };
      const order = (worths: { between: number; within: number } | null): string => {
        const prior = worths
          ? { between: { variance: worths.between, worth: 1e9 }, within: { variance: worths.within, worth: 1e9 } }
          : { between: { variance: outingToOuting ** 2, worth: outingWorth }, within: { variance: pullToPull ** 2, worth: pullWorth } };
        const { beta } = fitMixedModel({ ...model, prior })!;
        return [0, 1, 2, 3].sort((a, b) => beta[a]! - beta[b]!).join('');
      };
      const wanted = [0, 1, 2, 3].sort((a, b) => truth[a]! - truth[b]!).join('');
      if (order(null) === wanted) right++;
      if (order({ between: ofDays ** 2, within: 0.006 ** 2 }) === wanted) rightKnowing++;
    }
    expect(rightKnowing / 300).toBeGreaterThan(0.5);
    expect(right / 300).toBeGreaterThan(rightKnowing / 300 - 0.02);
  });
});
