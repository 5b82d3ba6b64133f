import type { Explanation, PowerDifference } from '../../../compare/index.js';
import type { FittedSetup, TrialPull } from '../../../pulls/index.js';
import { numberText } from '../../../units/index.js';
import { type EffectName, meanEffectW, meanOfPulls, rangeOf } from './pullMeans.js';

interface Kind {
  readonly effect: EffectName;
  readonly name: string;
  readonly amount: (pull: TrialPull) => { readonly value: number; readonly standing: string };
  /** Means that differ less are not worth a word. */
  readonly least: number;
  readonly shown: (value: number, units: 'metric' | 'imperial') => string;
  readonly field: string;
}

const kinds: readonly Kind[] = [
  {
    effect: 'wind',
    name: 'wind as entered',
    amount: ({ run }) => run.inputs.windMps,
    least: 0.3,
    shown: (mps, units) => (units === 'imperial' ? `${numberText(mps / 0.44704, 0)} mph` : `${numberText(mps, 1)} m/s`),
    field: 'wind',
  },
  {
    effect: 'grade',
    name: 'grade as entered',
    amount: ({ run }) => run.inputs.grade,
    least: 0.0005,
    shown: (grade) => `${numberText(100 * grade, 1)}%`,
    field: 'grade',
  },
];

/**
 * Wind and grade that were entered differently for the two setups: the result takes them as entered. Had they been the same in truth, or
 * the larger of them the other way round, the difference would hold as much that the part did not make.
 *
 * Pulls both ways cancel: what counts is the mean over each setup's pulls.
 */
export function enteredRoad(
  before: FittedSetup,
  after: FittedSetup,
  difference: PowerDifference,
  options: { readonly units: 'metric' | 'imperial' },
): Explanation[] {
  return kinds.flatMap(({ effect, name, amount, least, shown, field }): Explanation[] => {
    const [first, second] = [before, after].map((setup) => meanOfPulls(setup, (pull) => amount(pull).value));
    const entered = [...before.used, ...after.used].every((pull) => amount(pull).standing !== 'assumed');
    if (!entered || !(Math.abs(second! - first!) >= least)) return [];
    const common = (first! + second!) / 2;
    const putIn = (setup: FittedSetup, about: number): Float64Array =>
      meanEffectW(setup, difference, effect, (pull) => amount(pull).value - about);
    const [early, late] = [putIn(before, common), putIn(after, common)];
    const notThere = late.map((value, i) => value - early[i]!);
    const [flipped, sign] = Math.abs(second!) >= Math.abs(first!) ? [after, 1] : [before, -1];
    const otherWay = putIn(flipped, 0).map((value) => 2 * sign * value);
    return [
      {
        name,
        standing: 'entered',
        sentence: `the ${field} was entered as ${shown(first!, options.units)} before and ${shown(second!, options.units)} after`,
        settle: `Check ${field}, and its sign, of every run; or log both setups on one road in one hour, in both directions.`,
        ...rangeOf([notThere, otherWay], difference.differenceW.length),
      },
    ];
  });
}
