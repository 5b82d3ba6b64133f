import { createHash } from 'node:crypto';
import { existsSync, readFileSync, statSync } from 'node:fs';
import path from 'node:path';
import {
  type CheckResult,
  checkLog,
  type ForecastResult,
  forecastTrial,
  type Log,
  loadFormulaParser,
  type OpenedLog,
  type PlanOptions,
  type PlanResult,
  PullproofError,
  planTrial,
  type ReadOptions,
  type ReconcileResult,
  readLog,
  reconcileTrial,
  runTrial,
  type TrialResult,
  utf8Text,
} from '@pullproof/core';
import { orRefused, refusedLog, refusedResults } from './refused.js';

/**
 * What is asked: a trial file, by its path from the folder of the notebook; or logs alone, setup by setup, the one before the change first. With logs alone mass,
 * air and road are assumed, each with its spread.
 */
export type Question = string | Readonly<Record<string, readonly string[]>>;

/** How a question is put. */
export interface QuestionOptions {
  /** Changes the text of the trial before it is read, to try what an input is worth; the file itself is left alone. */
  readonly edit?: (trialText: string) => string;
}

type TrialOptions = NonNullable<Parameters<typeof runTrial>[3]>;

/**
 * Did the change help?
 *
 * @param question a trial file, or logs setup by setup
 * @param options `edit`, and what `runTrial` takes
 * @returns the whole answer; where an input cannot be used, a result without setups whose finding says what is missing
 */
export async function compare(question: Question, options: TrialOptions & QuestionOptions = {}): Promise<TrialResult> {
  const { edit, ...own } = options;
  const formulaParser = own.formulaParser ?? (await loadFormulaParser());
  return orRefused(() => {
    const { text, name, open } = asked(question, edit);
    return runTrial(text, name, open, { ...own, formulaParser });
  }, refusedResults.compare);
}

/** What will each setup run at the strip? As {@link compare}. */
export async function forecast(question: Question, options: QuestionOptions = {}): Promise<ForecastResult> {
  return orRefused(() => {
    const { text, name, open } = asked(question, options.edit);
    return forecastTrial(text, name, open);
  }, refusedResults.forecast);
}

/** Do slip, log and pulls agree? As {@link compare}. */
export async function reconcile(question: Question, options: QuestionOptions = {}): Promise<ReconcileResult> {
  return orRefused(() => {
    const { text, name, open } = asked(question, options.edit);
    return reconcileTrial(text, name, open);
  }, refusedResults.reconcile);
}

/** How many more pulls would settle it? As {@link compare}; logs that are not there yet are planned for. */
export async function plan(question: Question, options: PlanOptions & QuestionOptions = {}): Promise<PlanResult> {
  const { edit, ...own } = options;
  return orRefused(() => {
    const { text, name, open, there } = asked(question, edit);
    return planTrial(text, name, (log) => (there(log) ? open(log) : null), own);
  }, refusedResults.plan);
}

/**
 * What is in these logs, and are they fit for use?
 *
 * @param logFiles paths from the folder of the notebook
 * @returns one entry a log; one that cannot be read has a finding that says why
 */
export async function check(...logFiles: readonly string[]): Promise<CheckResult> {
  return {
    schema: 'pullproof/check@1',
    logs: logFiles.map((file) =>
      orRefused(
        () => checkLog(openLog(file)),
        (refusal) => refusedLog(file, refusal),
      ),
    ),
  };
}

/**
 * Reads one log: its channels in SI, for what goes beyond the answers.
 *
 * @param logFile path, from the folder of the notebook
 * @param options what is known beforehand, such as what a column means
 * @returns the log
 * @throws PullproofError with the code of what cannot be used
 */
export function openLog(logFile: string, options: Omit<ReadOptions, 'path'> = {}): Log {
  return readLog(readBytes(logFile, logFile), { ...options, path: logFile });
}

interface Asked {
  readonly text: string;
  /** For messages. */
  readonly name: string;
  readonly open: (log: string) => OpenedLog;
  readonly there: (log: string) => boolean;
}

/** A question's text, and how its logs are opened: those of a trial file are relative to it, those named in the notebook to the notebook. */
function asked(question: Question, edit: QuestionOptions['edit'] = (text) => text): Asked {
  const isFile = typeof question === 'string';
  const placeOf = (log: string): string => (isFile ? path.resolve(path.dirname(question), log) : log);
  return {
    text: edit(isFile ? utf8Text(readBytes(question, question), question) : bareTrial(question)),
    name: isFile ? question : 'the question',
    open: (log) => {
      const chunks = readBytes(placeOf(log), log);
      return { chunks, sizeBytes: chunks.length, sha256: () => createHash('sha256').update(chunks).digest('hex') };
    },
    there: (log) => existsSync(placeOf(log)),
  };
}

/** A trial that states nothing but which log belongs to which setup. JSON is YAML. */
function bareTrial(logs: Readonly<Record<string, readonly string[]>>): string {
  const setups = Object.entries(logs).map(([name, files]) => ({ name, runs: files.map((log) => ({ log })) }));
  return JSON.stringify({ trial: 1, title: Object.keys(logs).join(' against '), car: { name: 'not described' }, setups }, null, 1);
}

function readBytes(file: string, shownPath: string): Uint8Array {
  const refuse = (what: string): never => {
    const from = path.isAbsolute(file) ? '' : ` Paths start at the folder of the notebook, ${process.cwd()}.`;
    throw new PullproofError('E_INPUT', what, { path: shownPath }, `Check the path.${from}`);
  };
  const stats = statSync(file, { throwIfNoEntry: false });
  if (stats === undefined) return refuse('There is no such file.');
  if (!stats.isFile()) return refuse(stats.isDirectory() ? 'This is a folder, not a file.' : 'This is a pipe or a device, not a file.');
  return readFileSync(file);
}
