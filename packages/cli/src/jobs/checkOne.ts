import {
  type CheckedLog,
  checkLog,
  type Log,
  type LogShare,
  type Place,
  PullproofError,
  type RunInputs,
  readLog,
  shareOf,
} from '@pullproof/core';
import type { OutputOptions } from '../files/checkOutput.js';
import { jsonPart } from '../files/jsonText.js';
import { type OnRead, readInput } from '../files/readInput.js';
import type { Io } from '../io.js';
import { checkDetails } from '../terminal/checkDetails.js';
import { checkText } from '../terminal/checkText.js';
import { styleFor } from '../terminal/style.js';
import { type LogSummary, summaryOf } from './logSummary.js';
import { trialInPlaceOfLog } from './otherInput.js';
import { asProblem } from './problems.js';

/** What the command line states about logs. */
export type StatedOfLog = RunInputs['reading'] & { readonly channels?: ReadonlyMap<string, string> | undefined };

/** What is wanted of each log. Plain data, so that a worker can be told. */
export interface Wanted {
  readonly cwd: string;
  readonly reading: StatedOfLog;
  /** How the output shows text; null where nothing is to be shown. */
  readonly show: {
    readonly isTTY: boolean;
    readonly columns: number;
    readonly env: Io['env'];
    readonly all: boolean;
    readonly alone: boolean;
  } | null;
  readonly json: boolean;
  /** The whole answer as data, for a report. */
  readonly checked: boolean;
  readonly parquet: (OutputOptions & { readonly folder: string; readonly tag: string }) | null;
}

/** What became of one log. Plain data. */
export interface Outcome {
  readonly summary: LogSummary;
  /** Its entry in the JSON, where it was wanted. */
  readonly json: string | null;
  readonly text: string | null;
  /** What it adds to what all logs are good for together; null where it could not be read. */
  readonly share: LogShare | null;
  readonly checked: CheckedLog | null;
  readonly problem: Problem | null;
  /** What it failed on is no fault of the log: the work is to stop. */
  readonly fatal: boolean;
}

/** An error as plain data. */
export interface Problem {
  readonly code: string;
  readonly what: string;
  readonly where: Place;
  readonly fix: string;
}

/** The error again. */
export function problemOf({ code, what, where, fix }: Problem): PullproofError {
  return new PullproofError(code, what, where, fix);
}

/** Indentation of an entry of the JSON. */
const entryIndent = '    ';

/** Reads and checks one log and makes what is wanted of it. Never throws: what cannot be read becomes an entry with its error. */
export async function checkOne(path: string, wanted: Wanted, io: Pick<Io, 'stdin'>, onRead?: OnRead): Promise<Outcome> {
  let read: ReadLog;
  try {
    read = readAndCheck(path, wanted, io, onRead);
  } catch (cause) {
    return failed(path, trialInPlaceOfLog(asProblem(cause), path), wanted);
  }
  const { log, checked, sha256 } = read;
  try {
    const summary = summaryOf(checked, null, sha256);
    if (wanted.parquet !== null) (await import('../parquet/writeChannels.js')).writeChannels(log, sha256, wanted.cwd, wanted.parquet);
    return {
      summary,
      json: wanted.json ? jsonPart(checked, entryIndent) : null,
      text: wanted.show === null ? null : textOf(checked, wanted.show),
      share: shareOf(checked),
      checked: wanted.checked ? checked : null,
      problem: null,
      fatal: false,
    };
  } catch (cause) {
    return failed(path, asProblem(cause), wanted, true);
  }
}

function textOf(checked: CheckedLog, show: NonNullable<Wanted['show']>): string {
  const style = styleFor({ ...show, write: () => {} }, show.env);
  return show.all ? checkDetails(checked, style) : checkText(checked, style, show.alone);
}

/** The entry of a log that could not be checked. */
export function failed(path: string, problem: PullproofError, wanted: Pick<Wanted, 'json' | 'checked'>, fatal = false): Outcome {
  const checked = unreadable(path, problem);
  const { code, what, where, fix } = problem;
  return {
    summary: summaryOf(checked, problem, null),
    json: wanted.json ? jsonPart(checked, entryIndent) : null,
    text: null,
    share: null,
    checked: wanted.checked ? checked : null,
    problem: { code, what, where, fix },
    fatal,
  };
}

/** A log with what was found in it. */
interface ReadLog {
  readonly log: Log;
  readonly checked: CheckedLog;
  readonly sha256: string;
}

/** Reads a log and looks at it. @throws PullproofError for what cannot be read */
export function readAndCheck(
  path: string,
  { cwd, reading }: Pick<Wanted, 'cwd' | 'reading'>,
  io: Pick<Io, 'stdin'>,
  onRead?: OnRead,
): ReadLog {
  const input = readInput(path, cwd, io, onRead);
  const log = readLog(input.chunks, { path, ...reading, sizeBytes: input.sizeBytes });
  const checked = checkLog(log);
  return { log, checked: { ...checked, findings: [...checked.findings, ...input.findings()] }, sha256: input.sha256() };
}

/** The entry of a log that could not be read. */
export function unreadable(path: string, problem: PullproofError): CheckedLog {
  return { path, dialect: null, rows: 0, rowsDropped: 0, durationS: null, channels: [], stretches: [], findings: [problem.toFinding()] };
}
