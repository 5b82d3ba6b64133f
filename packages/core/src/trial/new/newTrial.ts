import type { CheckedLog } from '../../result/index.js';
import { systemOfColumns } from '../../units/index.js';
import type { RunInputs } from '../inputs/inputs.js';
import { groupLogs } from './groupLogs.js';
import { draftFromLogs } from './trialDraft.js';
import { trialText } from './trialText.js';

/** What a new trial file says besides what was found in the logs. */
export interface NewTrialOptions {
  /** What was stated about the form of the logs; each run will state it again. Default: nothing. */
  readonly reading?: RunInputs['reading'];
}

/**
 * Writes a trial file to fill in: logs in setups by name and content, units as logged, what was found in each log as comments, and each value that only the owner
 * knows marked `FILL IN`, once for all runs that share it.
 *
 * @param logs as `checkLog` saw them, at least one; paths relative to where the trial file will be
 * @param options what was stated about the form of the logs
 * @returns YAML text; with the marks filled in, or their lines taken out, it is a working trial
 *
 * @example
 * ```ts
 * import { newTrial } from '@pullproof/core';
 * const log = { path: 'base-a.csv', dialect: null, rows: 0, rowsDropped: 0, durationS: null, channels: [], stretches: [], findings: [] };
 * newTrial([log]).includes('- log: base-a.csv'); // => true
 * ```
 */
export function newTrial(logs: readonly CheckedLog[], options: NewTrialOptions = {}): string {
  const draft = draftFromLogs(groupLogs(logs), options);
  const units = systemOfColumns(logs.flatMap(({ channels }) => channels.map(({ unit }) => unit)));
  return trialText(units === null ? draft : { ...draft, units: units === 'imperial' ? 'us' : 'metric' }, { marks: true, logs });
}
