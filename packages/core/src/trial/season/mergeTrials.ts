import type { RunFile, SetupFile, SlipFile, TrialFile } from '../file/trialFile.js';
import type { RunInputs, SetupInputs, TrialInputs } from '../inputs/inputs.js';
import { resolveTrial } from '../inputs/resolveTrial.js';

/** Several trials of one car as one: setups of one name joined, each run with the inputs of its own trial. */
export interface MergedTrials {
  readonly file: TrialFile;
  readonly inputs: TrialInputs;
  /** Which trial a log of the merged one comes from, and what it is called there. */
  readonly logs: ReadonlyMap<string, { readonly trial: number; readonly log: string }>;
}

/**
 * Joins trials. A setup is the same in two trials when name, pulley and calibration agree; a name used for two states of the car is told apart by the
 * trial's title. An outing is the same when its name and day agree; where no day is given it belongs to its trial alone. A run that two trials list
 * counts once.
 *
 * @param files at least one, as `parseTrial` gives them, in the order of time
 */
export function mergeTrials(files: readonly TrialFile[]): MergedTrials {
  const logs = new Map<string, { trial: number; log: string }>();
  const setups: { key: string; file: SetupFile & { runs: RunFile[] }; inputs: SetupInputs & { runs: RunInputs[] } }[] = [];
  const slips: SlipFile[] = [];
  const parts: TrialInputs[] = [];
  const seen = new Set<string>();
  for (const [trial, file] of files.entries()) {
    const inputs = resolveTrial(file);
    parts.push(inputs);
    const pathOf = (log: string): string => {
      const shown = besideOf(file.path, log);
      const taken = logs.get(shown);
      const path =
        taken === undefined || (taken.trial === trial && taken.log === log) || besideOf(files[taken.trial]!.path, taken.log) === shown
          ? shown
          : `${shown} (${file.title})`;
      if (!logs.has(path)) logs.set(path, { trial, log });
      return path;
    };
    const nameOf = new Map<string, string>();
    for (const [s, setup] of file.setups.entries()) {
      const key = JSON.stringify([setup.name, setup['blower-pulley']?.si ?? null, setup.calibration ?? null]);
      let entry = setups.find((one) => one.key === key);
      if (entry === undefined) {
        const taken = setups.some((one) => one.file.name === setup.name);
        const name = taken ? `${setup.name} (${file.title})` : setup.name;
        entry = { key, file: { ...setup, name, runs: [] }, inputs: { name, runs: [] } };
        setups.push(entry);
      }
      nameOf.set(setup.name, entry.file.name);
      for (const [r, run] of (inputs.setups[s]?.runs ?? []).entries()) {
        const log = pathOf(run.log);
        const once = JSON.stringify([log, run.fromTimeS, run.toTimeS, entry.file.name]);
        if (seen.has(once)) continue;
        seen.add(once);
        entry.inputs.runs.push({ ...run, log, setup: entry.file.name, outing: outingOf(run, file.title, files.length) });
        entry.file.runs.push({ ...setup.runs![r]!, log });
      }
    }
    if (typeof file.slips === 'object')
      for (const slip of file.slips)
        slips.push({ ...slip, setup: nameOf.get(slip.setup) ?? slip.setup, ...(slip.log === undefined ? {} : { log: pathOf(slip.log) }) });
  }
  const first = files[0]!;
  const kept = setups.filter(({ inputs }) => inputs.runs.length > 0);
  return {
    file: { ...first, title: first.car.name ?? first.title, setups: kept.map(({ file }) => file), slips },
    inputs: {
      title: first.title,
      units: first.units,
      setups: kept.map(({ inputs }) => inputs),
      assumptions: parts.flatMap(({ assumptions }) => assumptions),
      fromCoastDowns: [...new Set(parts.flatMap(({ fromCoastDowns }) => fromCoastDowns))],
      findings: parts.flatMap(({ findings }) => findings),
    },
    logs,
  };
}

function outingOf({ outing, when }: RunInputs, title: string, trials: number): string | null {
  if (outing === null || trials === 1) return outing;
  return when === null ? `${outing}, ${title}` : `${outing}, ${when.slice(0, 10)}`;
}

/** A path as seen from where the trial's own path starts. */
function besideOf(trialPath: string, log: string): string {
  if (/^(?:[/\\]|[A-Za-z]:)/.test(log)) return log;
  const folder = trialPath.slice(0, Math.max(trialPath.lastIndexOf('/'), trialPath.lastIndexOf('\\')) + 1);
  return `${folder}${log}`;
}
