import { type CheckedLog, decimalFromText, delimiterFromText, PullproofError, type RunInputs } from '@pullproof/core';
import type { ReadingChoices } from '../commands/command.js';
import type { Io } from '../io.js';
import { Progress } from '../terminal/progress.js';
import { readAndCheck, unreadable } from './checkOne.js';
import { trialInPlaceOfLog } from './otherInput.js';
import { asProblem, tellProblem } from './problems.js';

/**
 * What the command line states about logs, as `readLog` takes it.
 *
 * @throws E_STATED for a word that means nothing, which is wrong usage
 */
export function statedReading(choices: ReadingChoices): RunInputs['reading'] {
  const { delimiter, decimal, encoding, timeUnit, rate, table } = choices;
  return {
    delimiter: delimiter === undefined ? undefined : delimiterFromText(delimiter),
    decimal: decimal === undefined ? undefined : decimalFromText(decimal),
    encoding: oneOf(['utf-8', 'windows-1252', 'utf-16le', 'utf-16be'], encoding, '--encoding'),
    timeUnit: oneOf(['s', 'ms', 'us', 'min', 'h'], timeUnit, '--time-unit'),
    rateHz: aboveZero(rate?.replace(/\s*hz\s*$/i, ''), '--rate'),
    table: aboveZero(table, '--table'),
  };
}

/**
 * What `--channel` says columns are: `name=quantity unit`, the name as the header has it or `Col 7`.
 *
 * @throws E_STATED for one without an equals sign
 */
export function statedChannels(written: readonly string[] | undefined): ReadonlyMap<string, string> | undefined {
  if (written === undefined) return undefined;
  return new Map(
    written.map((text) => {
      const at = text.lastIndexOf('=');
      const [name, what] = [text.slice(0, at).trim(), text.slice(at + 1).trim()];
      if (at > 0 && name !== '' && what !== '') return [name, what] as const;
      throw new PullproofError(
        'E_STATED',
        `--channel takes a column and what it is, not "${text}".`,
        {},
        'Write it like --channel "Col 1=time s" or --channel "Boost=manifold-pressure psi gauge".',
      );
    }),
  );
}

/** Reads and checks each log; one that cannot be read becomes an entry with its error. */
export function checkLogs(paths: readonly string[], reading: RunInputs['reading'], io: Io): { logs: CheckedLog[]; failed: number } {
  const progress = new Progress(io);
  let failed = 0;
  const logs = paths.map((path): CheckedLog => {
    try {
      const { checked } = readAndCheck(path, { cwd: io.cwd, reading }, io, progress.reading);
      progress.clear();
      return checked;
    } catch (cause) {
      progress.clear();
      failed++;
      const problem = trialInPlaceOfLog(asProblem(cause), path);
      tellProblem(problem, io);
      return unreadable(path, problem);
    }
  });
  return { logs, failed };
}

function oneOf<const Word extends string>(words: readonly Word[], written: string | undefined, option: string): Word | undefined {
  if (written === undefined) return undefined;
  const found = words.find((word) => word === written.trim().toLowerCase());
  if (found === undefined)
    throw new PullproofError('E_STATED', `"${written}" is not known to ${option}.`, {}, `Say one of ${words.join(', ')}.`);
  return found;
}

/** A number above zero as typed; undefined where nothing was. @throws E_STATED */
export function aboveZero(written: string | undefined, option: string): number | undefined {
  if (written === undefined) return undefined;
  const value = written.trim() === '' ? Number.NaN : Number(written);
  if (value > 0 && Number.isFinite(value)) return value;
  throw new PullproofError(
    'E_STATED',
    `"${written}" is not a number above zero, which ${option} needs.`,
    {},
    `Write it like ${option} 25.`,
  );
}
