import {
  type CheckedLog,
  checkLog,
  decimalFromText,
  delimiterFromText,
  type PullproofError,
  type ReadOptions,
  readLog,
} from '@pullproof/core';
import { type Command, InvalidArgumentError, Option } from 'commander';
import { readInput } from '../files/readInput.js';
import type { Io } from '../io.js';
import { Progress } from '../terminal/progress.js';
import { asProblem, tellProblem } from './command.js';

/** What the command line may state about logs instead of having it guessed. */
export type Stated = Pick<ReadOptions, 'delimiter' | 'decimal' | 'encoding' | 'timeUnit' | 'table'> & { readonly rate?: number };

/** Adds the options that state how logs are to be read. */
export function addReading(command: Command): Command {
  return command
    .option('--delimiter <word>', 'what parts the columns: comma, semicolon, tab, pipe, spaces, or the character', by(delimiterFromText))
    .option('--decimal <mark>', 'decimal mark: point or comma', by(decimalFromText))
    .addOption(new Option('--encoding <name>', 'encoding of the text').choices(['utf-8', 'windows-1252', 'utf-16le', 'utf-16be']))
    .addOption(new Option('--time-unit <unit>', 'unit of the numbers in the time column').choices(['s', 'ms', 'us', 'min', 'h']))
    .option('--rate <hertz>', 'rows a second, for a log without a time column', by(positive('a rate in Hz')))
    .option('--table <number>', 'which of several tables in a file, from 1', by(positive('the number of a table')));
}

/** Reads and checks each log; one that cannot be read becomes an entry with its error. */
export function checkLogs(paths: readonly string[], stated: Stated, io: Io): { logs: CheckedLog[]; failed: number } {
  const progress = new Progress(io);
  let failed = 0;
  const { rate, ...options } = stated;
  const logs = paths.map((path): CheckedLog => {
    try {
      const input = readInput(path, io.cwd, io, progress.reading);
      const checked = checkLog(readLog(input.chunks, { path, ...options, ...(rate === undefined ? {} : { rateHz: rate }) }));
      progress.clear();
      return { ...checked, findings: [...checked.findings, ...input.findings()] };
    } catch (cause) {
      progress.clear();
      failed++;
      const problem = asProblem(cause);
      tellProblem(problem, io);
      return unreadable(path, problem);
    }
  });
  return { logs, failed };
}

function unreadable(path: string, problem: PullproofError): CheckedLog {
  return { path, dialect: null, rows: 0, rowsDropped: 0, durationS: null, channels: [], stretches: [], findings: [problem.toFinding()] };
}

/** Makes a reader of ours one whose refusal is wrong usage. */
function by<T>(read: (text: string) => T): (text: string) => T {
  return (text) => {
    try {
      return read(text);
    } catch (cause) {
      throw new InvalidArgumentError(asProblem(cause).fix);
    }
  };
}

function positive(what: string): (text: string) => number {
  return (text) => {
    const value = Number(text.trim().replace(/\s*hz$/i, ''));
    if (text.trim() === '' || !(value > 0 && Number.isFinite(value))) throw new InvalidArgumentError(`Give ${what} above zero.`);
    return value;
  };
}
