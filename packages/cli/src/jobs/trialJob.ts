import path from 'node:path';
import type { Finding, OpenedLog, TrialFile } from '@pullproof/core';
import type { CompareChoices, ExitCode, OutputChoices } from '../commands/command.js';
import { readInput, readText } from '../files/readInput.js';
import { spareInputs } from '../files/spareInputs.js';
import { writeOutput } from '../files/writeOutput.js';
import type { Io } from '../io.js';
import { Progress } from '../terminal/progress.js';
import { type Style, styleFor } from '../terminal/style.js';
import { inTrial, logInPlaceOfTrial, spareNamed } from './otherInput.js';
import { checkOutputs, outputOptions, putJson, putProblem } from './outputs.js';
import { asProblem, errorResult } from './problems.js';

const trialLimitBytes = 4_000_000;

/** Text of a trial file, and the folder that paths in it start at. */
export function readTrial(trialPath: string, io: Io): { readonly text: string; readonly folder: string } {
  return {
    text: readText(readInput(trialPath, io.cwd, io), trialPath, trialLimitBytes),
    folder: trialPath === '-' ? io.cwd : path.dirname(path.resolve(io.cwd, trialPath)),
  };
}

function trialOfFile(trialPath: string, io: Io): TrialSource {
  const { text, folder } = readTrial(trialPath, io);
  return { path: trialPath, trial: text, folder };
}

/** Where a trial comes from: a file, or logs named on the command line. */
export interface TrialSource {
  /** As the user wrote it, for messages. */
  readonly path: string;
  readonly trial: string | TrialFile;
  /** Folder that paths in it start at. */
  readonly folder: string;
}

/** What a command makes of a trial and its logs. */
export interface TrialJob<R> {
  /** The answer; may throw what cannot be used. */
  readonly work: (trial: string | TrialFile, openLog: (logPath: string) => OpenedLog) => R | Promise<R>;
  /** The answer as a page; `again` works the same inputs out once more, such as for other units; null where an input can be read only once. */
  readonly page: (result: R, again: (work: TrialJob<R>['work']) => Promise<R | null>) => Promise<string>;
  /** The answer as text for a terminal. */
  readonly text: (result: R, style: Style, report: string | null) => Promise<string>;
  /** Further outputs. */
  readonly further?: (result: R) => void;
}

/** Runs a trial's job and puts the answer where it was asked for: report, JSON, terminal. */
export async function runTrialJob<R extends { readonly findings: readonly Finding[] }>(
  source: string | (() => TrialSource | Promise<TrialSource>),
  choices: OutputChoices & Pick<CompareChoices, 'fuelTable'>,
  io: Io,
  begin: () => TrialJob<R>,
): Promise<ExitCode> {
  const trialPath = typeof source === 'string' ? source : '';
  const progress = new Progress(io);
  const outputs = [choices.json, choices.report, choices.fuelTable];
  let trialText = '';
  try {
    checkOutputs(choices, io);
    const job = begin();
    if (typeof source === 'string') spareInputs(outputs, [source], io.cwd);
    const { path: shownPath, trial, folder } = typeof source === 'string' ? trialOfFile(source, io) : await source();
    if (typeof trial === 'string') trialText = trial;
    spareNamed(outputs, trial, shownPath, io.cwd, folder);
    const whileRead: (() => readonly Finding[])[] = [];
    let readOnce = false;
    const opened = (logPath: string) => {
      const open = () => readInput(logPath, folder, io, progress.reading);
      return typeof trial === 'string' ? inTrial(shownPath, trial, logPath, open) : open();
    };
    const worked = await job.work(trial, (logPath) => {
      spareInputs(outputs, [logPath], io.cwd, folder);
      readOnce ||= logPath === '-';
      const input = opened(logPath);
      whileRead.push(input.findings);
      return input;
    });
    const result = { ...worked, findings: [...worked.findings, ...whileRead.flatMap((findings) => findings())] };
    if (choices.report !== undefined) {
      progress.tell('writing the report');
      const page = await job.page(result, async (work) => (readOnce ? null : work(trial, opened)));
      writeOutput(choices.report, page, io.cwd, 'report', { ...outputOptions(choices), onInterrupt: io.onInterrupt });
    }
    job.further?.(result);
    progress.clear();
    putJson(result, choices, io);
    if (choices.json !== '-') io.stdout.write(await job.text(result, styleFor(io.stdout, io.env), choices.report ?? null));
    return 0;
  } catch (cause) {
    progress.clear();
    const problem = logInPlaceOfTrial(asProblem(cause), trialPath, trialText);
    putProblem(problem, errorResult(problem), choices, io);
    return problem.code === 'E_STATED' ? 2 : 1;
  }
}
