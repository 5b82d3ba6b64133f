import type { Finding } from '../findings/index.js';
import type { FittedSetup } from './fittedSetup.js';
import type { LoadedRun } from './loadedRun.js';
import type { TrialPull } from './trialPull.js';

/** Readings of engine speed that a setup's pulls need together: fewer determine no curve. */
const leastTogether = 8;
const together = 'in all pulls of the setup';

/** Pulls with those left out whose setup has too few readings of engine speed in all of them. */
export function withEnoughReadings(pulls: readonly TrialPull[]): TrialPull[] {
  const counts = new Map<number, number>();
  for (const pull of pulls) counts.set(pull.run.setup, (counts.get(pull.run.setup) ?? 0) + readingsOf(pull));
  return pulls.map((pull) => {
    const all = counts.get(pull.run.setup)!;
    if (pull.prepared === null || all >= leastTogether) return pull;
    const cutReason = `${counted(readingsOf(pull))} in this pull and ${all} ${together}; ${leastTogether} are needed: log fewer channels, or make longer or more pulls`;
    return { ...pull, prepared: null, cutReason };
  });
}

function readingsOf({ prepared }: TrialPull): number {
  return prepared === null ? 0 : prepared.motion.spans.reduce((sum, span) => sum + span[0]!.timeS.length, 0);
}

function counted(readings: number): string {
  return `${readings} engine-speed ${readings === 1 ? 'reading' : 'readings'}`;
}

/** Full throttle of a setup that was logged with too few readings of engine speed; null where that is not what its pulls lack. */
export function tooFewReadings({ runs, pulls }: Pick<FittedSetup, 'runs' | 'pulls'>): { readonly words: string } | null {
  const sparse = runs.flatMap(({ found }) => found.sparse);
  const refused = pulls.find(({ cutReason }) => cutReason?.includes(together) === true);
  if (sparse.length === 0) return refused === undefined ? null : { words: refused.cutReason!.replace(/:.*/, '') };
  const most = Math.max(...sparse.map(({ readings }) => readings));
  const which = sparse.length === 1 ? 'a full-throttle stretch has' : `${sparse.length} full-throttle stretches have at most`;
  return { words: `${which} ${counted(most)}, and ${sparse[0]!.needed} are needed` };
}

/** What a person should know of full load that a slow logger shows too few readings of. */
export function sparseFindings(runs: readonly LoadedRun[]): Finding[] {
  return runs.flatMap(({ found, inputs }) => sparseFinding(found.sparse, { path: inputs.log, setup: inputs.setup }));
}

/** The same for one log. */
export function sparseFinding(sparse: LoadedRun['found']['sparse'], where: Finding['where']): Finding[] {
  if (sparse.length === 0) return [];
  const most = Math.max(...sparse.map(({ readings }) => readings));
  const { needed, startS } = sparse[0]!;
  const which = sparse.length === 1 ? 'A full-throttle stretch has' : `${sparse.length} full-throttle stretches have`;
  return [
    {
      code: 'TOO_FEW_READINGS',
      severity: 'warning',
      message: `${which} ${sparse.length === 1 ? '' : 'at most '}${counted(most)} that surely belong to full throttle; ${needed} are needed. ${sparse.length === 1 ? 'It was' : 'They were'} left out.`,
      where: { ...where, fromTimeS: startS },
      fix: 'Log only engine speed, road speed and pedal, so that each is read more often, or pull in a higher gear, which lasts longer.',
      count: sparse.length,
    },
  ];
}
