import path from 'node:path';
import {
  draftFromLogs,
  fileStem,
  groupLogs,
  type LogGroup,
  type NamedLog,
  PullproofError,
  parseTrial,
  setupName,
  type TrialDraft,
  trialText,
} from '@pullproof/core';
import type { CompareChoices } from '../commands/command.js';
import type { Io } from '../io.js';
import { findLogs } from './findLogs.js';
import { setupMark } from './setupMark.js';
import { withStated } from './statedInputs.js';
import type { TrialSource } from './trialJob.js';

type Group = LogGroup<NamedLog>;

/** A trial made of the logs that were named, with what was stated besides. */
export async function logsAsTrial(
  named: readonly string[],
  choices: CompareChoices,
  io: Io,
): Promise<TrialSource & { readonly draft: TrialDraft }> {
  const groups = await groupsOf(named, choices, io);
  const draft = withStated(draftFromLogs(groups), choices);
  const shownPath = choices.save ?? 'command line';
  return { path: shownPath, folder: io.cwd, draft, trial: parsed(draft, shownPath) };
}

/** Text of the trial for a file: paths start where the file will be. */
export function savedTrial(draft: TrialDraft, save: string, io: Io): string {
  const folder = path.dirname(path.resolve(io.cwd, save));
  return trialText({
    ...draft,
    setups: draft.setups.map((setup) => ({
      ...setup,
      runs: ((setup.runs ?? []) as readonly { readonly log: string }[]).map((run) => ({ ...run, log: pathFrom(folder, run.log, io.cwd) })),
    })),
  });
}

/** A path from a folder, with the slashes of a trial file. */
export function pathFrom(folder: string, file: string, cwd: string): string {
  return path.relative(folder, path.resolve(cwd, file)).split(path.sep).join('/');
}

async function groupsOf(named: readonly string[], { after = [], setup = [] }: CompareChoices, io: Io): Promise<Group[]> {
  if (named.some((file) => /\.ya?ml$/i.test(file))) throw wrong('A trial file stands among other inputs.', 'Name one trial file, or logs.');
  const found = async (list: readonly string[]): Promise<NamedLog[]> => (await findLogs(list, io.cwd)).map((file) => ({ path: file }));
  const before = await found(named);
  const later = await found(after);
  const stated: Group[] = [];
  for (const words of setup) {
    const [name = '', ...logs] = words.split(setupMark);
    if (logs.length === 0) throw wrong(`--setup ${name} names no log.`, 'Write --setup NAME LOG…');
    stated.push({ name, logs: await found(logs) });
  }
  if (after.length > 0 && before.length === 0)
    throw wrong('--after has nothing to be compared with.', 'Name the logs before the change first.');
  if (later.length > 0) return toldApart([...pair(before, later), ...stated]);
  if (stated.length > 0) return toldApart([...(before.length === 0 ? [] : [{ name: commonName(before), logs: before }]), ...stated]);
  if (before.length === 2) return toldApart(pair([before[0]!], [before[1]!]));
  if (before.length === 0) throw wrong('Nothing to compare was named.', 'Name the logs, compare before.csv after.csv, or a trial file.');
  const groups = groupLogs(before);
  if (groups.length > 1) return groups;
  throw wrong(
    `By their names all ${before.length} logs belong to one setup, ${groups[0]?.name ?? ''}.`,
    'Say which are after the change: compare before*.csv --after after*.csv.',
  );
}

const pair = (before: readonly NamedLog[], after: readonly NamedLog[]): Group[] => [
  { name: commonName(before), logs: before },
  { name: commonName(after), logs: after },
];

/** A name for logs that are said to belong together. */
function commonName(logs: readonly NamedLog[]): string {
  const names = new Set(logs.map((log) => setupName(log.path)));
  return logs.length === 1 ? fileStem(logs[0]!.path) : [...names][0]!;
}

/** Setups of one name told apart. */
function toldApart(groups: readonly Group[]): Group[] {
  const names = groups.map(({ name }) => name);
  const unique = new Set(names).size === names.length;
  return groups.map((group, i) =>
    unique ? group : { ...group, name: `${group.name}, ${i === 0 ? 'before' : i === 1 ? 'after' : `setup ${i + 1}`}` },
  );
}

/** The trial checked; what is wrong with it was stated on the command line. */
function parsed(draft: TrialDraft, shownPath: string): TrialSource['trial'] {
  try {
    return parseTrial(draft, shownPath);
  } catch (cause) {
    if (cause instanceof PullproofError)
      throw new PullproofError(
        'E_STATED',
        cause.what,
        { path: shownPath, ...(cause.where.field === undefined ? {} : { field: cause.where.field }) },
        cause.fix,
      );
    throw cause;
  }
}

function wrong(what: string, fix: string): PullproofError {
  return new PullproofError('E_STATED', what, {}, fix);
}
