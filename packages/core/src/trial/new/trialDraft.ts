import { PullproofError } from '../../findings/index.js';
import type { DraftGroup, DraftValue, TrialDraft } from '../file/draft.js';
import type { RunInputs } from '../inputs/inputs.js';
import type { LogGroup, NamedLog } from './groupLogs.js';

/** What is stated besides the logs. */
export interface StatedInputs {
  readonly title?: string | undefined;
  /** What was stated about the form of the logs; each run states it again. */
  readonly reading?: RunInputs['reading'] | undefined;
}

/**
 * A trial from logs alone: each group is a setup, and all that is not in the logs is left open, so that it is assumed.
 *
 * @param groups setups with their logs, as from `groupLogs`; paths relative to where the trial is, or will be
 * @param stated what is known besides
 * @returns the trial as data
 *
 * @example
 * ```ts
 * import { draftFromLogs, parseTrial } from '@pullproof/core';
 * const draft = draftFromLogs([{ name: 'before', logs: [{ path: 'a.csv' }] }, { name: 'after', logs: [{ path: 'b.csv' }] }]);
 * parseTrial(draft, 'trial.yaml').title; // => 'after vs before'
 * ```
 */
export function draftFromLogs(groups: readonly LogGroup<NamedLog>[], stated: StatedInputs = {}): TrialDraft {
  const names = groups.map(({ name }) => name);
  const reading = readingFields(stated.reading ?? {});
  const title = names.length > 1 ? `${names.slice(1).join(', ')} vs ${names[0]}` : (names[0] ?? 'Untitled');
  return {
    trial: 1,
    title: stated.title ?? title,
    setups: groups.map(({ name, logs }) => ({
      name,
      runs: logs.map(({ path }): DraftGroup => (reading === null ? { log: path } : { log: path, reading })),
    })),
  };
}

/**
 * The draft with a field set, by the name that findings and errors give it.
 *
 * @param draft stays as it is
 * @param field such as `car.weighed.mass`, `air.temperature` or `setups[1].outing`
 * @param value as typed in a trial file
 * @throws E_STATED where the name does not lead to a field of this draft
 *
 * @example
 * ```ts
 * import { draftFromLogs, withField } from '@pullproof/core';
 * const draft = draftFromLogs([{ name: 'before', logs: [{ path: 'a.csv' }] }]);
 * withField(draft, 'car.weighed.mass', '3478 lb').car; // => { weighed: { mass: '3478 lb' } }
 * ```
 */
export function withField(draft: TrialDraft, field: string, value: DraftValue): TrialDraft {
  const keys = field.split(/[.[\]]/).filter((key) => key !== '');
  if (keys.length === 0) throw noField(field);
  return placed(draft, keys, value, field) as TrialDraft;
}

function placed(inside: DraftValue | undefined, [key, ...rest]: readonly string[], value: DraftValue, field: string): DraftValue {
  if (key === undefined) return value;
  if (Array.isArray(inside)) {
    const at = Number(key);
    if (!Number.isInteger(at) || at < 0 || at >= inside.length) throw noField(field);
    return inside.map((one: DraftValue, i) => (i === at ? placed(one, rest, value, field) : one));
  }
  if (inside !== undefined && (typeof inside !== 'object' || inside === null)) throw noField(field);
  const group = inside as DraftGroup | undefined;
  const own = group !== undefined && Object.hasOwn(group, key) ? group[key] : undefined;
  return { ...group, [key]: placed(own, rest, value, field) };
}

function noField(field: string): PullproofError {
  return new PullproofError(
    'E_STATED',
    `There is no place for "${field}" in this trial.`,
    {},
    'Name a field as the trial file has it, such as car.weighed.mass=3478 lb or setups[0].outing=saturday.',
  );
}

function readingFields({ delimiter, decimal, encoding, timeUnit, rateHz, table, maxGapS }: RunInputs['reading']): DraftGroup | null {
  const fields: DraftGroup = {
    ...(delimiter === undefined ? {} : { delimiter }),
    ...(decimal === undefined ? {} : { decimal: decimal === ',' ? 'comma' : 'point' }),
    ...(encoding === undefined ? {} : { encoding }),
    ...(timeUnit === undefined ? {} : { 'time-unit': timeUnit }),
    ...(rateHz === undefined ? {} : { rate: `${rateHz} Hz` }),
    ...(table === undefined ? {} : { table }),
    ...(maxGapS === undefined ? {} : { 'max-gap': `${maxGapS} s` }),
  };
  return Object.keys(fields).length === 0 ? null : fields;
}
