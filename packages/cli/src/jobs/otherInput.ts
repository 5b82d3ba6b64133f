import { PullproofError, parseTrial, type TrialFile } from '@pullproof/core';
import { spareInputs } from '../files/spareInputs.js';

/** A log that a trial names and that cannot be opened, told at the trial's line. */
export function inTrial<Input>(trialPath: string, trialText: string, logPath: string, open: () => Input): Input {
  try {
    return open();
  } catch (cause) {
    if (!(cause instanceof PullproofError) || cause.code !== 'E_INPUT') throw cause;
    const line = lineNaming(trialText, logPath);
    const what = `This names ${logPath}: ${cause.what.charAt(0).toLowerCase()}${cause.what.slice(1)}`;
    const fix = `${cause.fix} Paths in a trial start at the trial’s own folder.`;
    throw new PullproofError(cause.code, what, { path: trialPath, ...(line === null ? {} : { line }) }, fix);
  }
}

/** Stops where an output is a file that a trial names, read by this command or not. @throws E_OUTPUT_PATH and the codes of `parseTrial` */
export function spareNamed(
  outputs: readonly (string | undefined)[],
  trial: string | TrialFile,
  trialPath: string,
  from: string,
  folder: string,
): void {
  // The trial is taken apart for this alone, and needlessly where no file is written.
  if (outputs.some((output) => output !== undefined && output !== '-')) spareInputs(outputs, namedIn(trial, trialPath), from, folder);
}

function namedIn(trial: string | TrialFile, trialPath: string): readonly string[] {
  const { setups, slips = [] } = typeof trial === 'string' ? parseTrial(trial, trialPath) : trial;
  const ofSlips = typeof slips === 'string' ? [slips] : slips.flatMap(({ log }) => (log === undefined ? [] : [log]));
  return [...setups.flatMap(({ runs = [] }) => runs.map(({ log }) => log)), ...ofSlips];
}

/** Line of a trial, from 1, that gives a path as log or slips; null where it is written in some other way. */
function lineNaming(trialText: string, logPath: string): number | null {
  const literal = logPath.replaceAll(/[.*+?^${}()|[\]\\/-]/g, '\\$&');
  const naming = new RegExp(`^[^#]*\\b(?:log|slips)["']?\\s*:\\s*["']?${literal}(?![^\\s"',}\\]])`);
  const index = trialText.split(/\r\n|\n|\r/).findIndex((line) => naming.test(line));
  return index < 0 ? null : index + 1;
}

/** Says so where what cannot be read as a trial has the looks of a log. */
export function logInPlaceOfTrial(problem: PullproofError, trialPath: string, text: string): PullproofError {
  const aboutTrial = problem.code.startsWith('E_TRIAL') && text !== '';
  if (!aboutTrial || /^[\s"'{]*(?:trial|car|setups)["']?\s*:/m.test(text) || !columns.test(text)) return problem;
  return new PullproofError(
    problem.code,
    'This looks like a log, not like a trial file.',
    { path: trialPath },
    'Give the logs of both setups: compare before.csv after.csv. To look at one log use check.',
  );
}

/** Two lines or more in which the same mark parts three cells or more. */
const columns = /^(?:[^,\n]*(?:,[^,\n]*){2,}\n|[^;\n]*(?:;[^;\n]*){2,}\n|[^\t\n]*(?:\t[^\t\n]*){2,}\n){2}/m;

/** Says so where what cannot be read as a log has the name of a trial file. */
export function trialInPlaceOfLog(problem: PullproofError, path: string): PullproofError {
  if (!/\.ya?ml$/i.test(path) || problem.code === 'E_INPUT' || problem.code === 'E_INTERNAL') return problem;
  return new PullproofError(problem.code, `This looks like a trial file, not like a log. ${problem.what}`, problem.where, 'Use compare.');
}
