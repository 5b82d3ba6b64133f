import type { Explanation, PowerDifference } from '../../../compare/index.js';
import type { FittedSetup } from '../../../pulls/index.js';
import { meanEffectW } from './pullMeans.js';

/** How much the wind along the road differs between runs of one outing, m/s, one standard deviation; common practice, no source. */
const runToRunMps = 1;

/**
 * Wind that nobody entered. What it may be over a whole outing is in the band; what it may do from run to run within one is here, for
 * runs are minutes apart and both setups did not meet the same.
 */
export function unenteredWind(before: FittedSetup, after: FittedSetup, difference: PowerDifference): Explanation[] {
  const used = [...before.used, ...after.used];
  if (used.every(({ run }) => run.inputs.windMps.standing !== 'assumed')) return [];
  const runs = [...new Set(used.map(({ run }) => run))].filter(({ inputs }) => inputs.windMps.standing === 'assumed');
  const squares = new Float64Array(difference.differenceW.length);
  for (const run of runs) {
    const setup = before.runs.includes(run) ? before : after;
    const effect = meanEffectW(setup, difference, 'wind', (pull) => (pull.run === run ? runToRunMps : 0));
    effect.forEach((value, i) => {
      squares[i] = squares[i]! + value ** 2;
    });
  }
  const highW = squares.map((value) => 1.96 * Math.sqrt(value));
  return [
    {
      name: 'wind not entered',
      standing: 'assumed',
      sentence: 'the wind was not entered, and may have changed from run to run',
      settle: 'Enter wind for each run, headwind positive, or log pulls in both directions.',
      lowW: highW.map((value) => -value),
      highW,
    },
  ];
}
