import type { PullLevel } from '../power/index.js';
import type { FittedSetup } from './fittedSetup.js';
import type { TrialPull } from './trialPull.js';

function headingOf({ run, prepared }: TrialPull): 1 | -1 | 0 {
  return run.inputs.direction === null ? 0 : (prepared!.conditions.heading ?? 1);
}

/** Levels of all used pulls, for the spread of repeats. */
export function pullLevels(setups: readonly FittedSetup[]): PullLevel[] {
  return setups.flatMap((setup, index) =>
    setup.used
      .map((pull, p) => ({
        setup: index,
        outingKey: pull.prepared!.outingKey,
        level: setup.curve?.pullLevels[p] ?? Number.NaN,
        noiseVariance: setup.curve?.levelNoiseVariance ?? 0,
        heading: headingOf(pull),
      }))
      .filter(({ level }) => Number.isFinite(level)),
  );
}
