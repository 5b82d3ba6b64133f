import type { Explanation, PowerDifference } from '../../../compare/index.js';
import type { FittedSetup, TrialPull } from '../../../pulls/index.js';
import { type EffectName, meanEffectW } from './pullMeans.js';

interface Kind {
  readonly effect: EffectName;
  readonly name: string;
  readonly standing: (pull: TrialPull) => string;
  /** Difference between runs of one outing, one standard deviation: where each run's direction is told, and where it is not. Common practice, no source. */
  readonly spread: { readonly told: number; readonly untold: number };
  readonly sentence: string;
  readonly settle: string;
}

const kinds: readonly Kind[] = [
  {
    effect: 'wind',
    name: 'wind not entered',
    standing: ({ run }) => run.inputs.windMps.standing,
    // A light wind by itself is met from ahead or from behind where nobody says which way was driven.
    spread: { told: 1, untold: 2.5 },
    sentence: 'the wind was not entered, and may have changed from run to run',
    settle: 'Enter wind for each run, headwind positive, or log pulls in both directions and enter direction.',
  },
  {
    effect: 'grade',
    name: 'grade not entered',
    standing: ({ run }) => run.inputs.grade.standing,
    spread: { told: 0, untold: 0.003 },
    sentence: 'neither grade nor direction was entered, and the setups may have met the road the other way round',
    settle: 'Enter direction for each run, and grade, uphill positive.',
  },
];

/**
 * Wind and grade that nobody entered. What they may be over a whole outing is in the band; what they may do from run to run within one is
 * here: runs are minutes apart, and where no direction was told one may have been driven the other way.
 */
export function unenteredRoad(before: FittedSetup, after: FittedSetup, difference: PowerDifference): Explanation[] {
  return kinds.flatMap(({ effect, name, standing, spread, sentence, settle }): Explanation[] => {
    const used = [...before.used, ...after.used].filter((pull) => standing(pull) === 'assumed');
    const squares = new Float64Array(difference.differenceW.length);
    for (const run of new Set(used.map((pull) => pull.run))) {
      const setup = before.runs.includes(run) ? before : after;
      const own = run.inputs.direction === null ? spread.untold : spread.told;
      const effectW = meanEffectW(setup, difference, effect, (pull) => (pull.run === run ? own : 0));
      effectW.forEach((value, i) => {
        squares[i] = squares[i]! + value ** 2;
      });
    }
    if (squares.every((value) => value === 0)) return [];
    const highW = squares.map((value) => 1.96 * Math.sqrt(value));
    return [{ name, standing: 'assumed', sentence, settle, lowW: highW.map((value) => -value), highW }];
  });
}
