import { PullproofError, parseTrial, type TrialFile, type UnitSystem } from '@pullproof/core';

/** The units that were asked for; undefined leaves them to trial and logs. @throws E_STATED */
export function unitsOf(written: string | undefined): UnitSystem | undefined {
  const word = written?.trim().toLowerCase();
  if (word === undefined) return undefined;
  if (word === 'us' || word === 'imperial') return 'imperial';
  if (word === 'metric') return 'metric';
  throw new PullproofError(
    'E_STATED',
    `--units takes us or metric, not "${written}".`,
    {},
    'Leave it out to have the units of your trial and logs.',
  );
}

/** The trial read in the units that were asked for. */
export function inUnits(trial: string | TrialFile, trialPath: string, units: UnitSystem | undefined): string | TrialFile {
  if (units === undefined) return trial;
  const file = typeof trial === 'string' ? parseTrial(trial, trialPath) : trial;
  return { ...file, units, unitsOpen: false };
}
