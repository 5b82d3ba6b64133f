import { PullproofError } from '@pullproof/core';
import type { OutputChoices } from '../commands/command.js';
import { checkOutput, type OutputOptions } from '../files/checkOutput.js';
import { jsonText } from '../files/jsonText.js';
import { writeOutput } from '../files/writeOutput.js';
import type { Io } from '../io.js';
import { tellProblem } from './problems.js';

/** What is allowed of outputs. */
export function outputOptions({ force, anywhere }: OutputChoices): OutputOptions {
  return { force: force === true, anywhere: anywhere === true };
}

/** Looks at both outputs before any work is done. */
export function checkOutputs(choices: OutputChoices, io: Io): void {
  const options = outputOptions(choices);
  const json = choices.json === undefined || choices.json === '-' ? null : checkOutput(choices.json, io.cwd, 'json', options);
  const report = choices.report === undefined ? null : checkOutput(choices.report, io.cwd, 'report', options);
  if (json !== null && json === report) {
    throw new PullproofError('E_OUTPUT_PATH', 'JSON and report would go to the same file.', { path: choices.json! }, 'Name two files.');
  }
}

/** Writes JSON where it was asked for, if it was. */
export function putJson(value: object, choices: OutputChoices, io: Io): void {
  if (choices.json === undefined) return;
  const text = jsonText(value);
  if (choices.json === '-') io.stdout.write(text);
  else writeOutput(choices.json, text, io.cwd, 'json', { ...outputOptions(choices), onInterrupt: io.onInterrupt });
}

/** Tells a problem on standard error and, where JSON was asked for, there as well. */
export function putProblem(problem: PullproofError, value: object, choices: OutputChoices, io: Io): void {
  tellProblem(problem, io);
  if (problem.code === 'E_OUTPUT_PATH' && choices.json !== '-' && problem.where.path === choices.json) return;
  try {
    // What is told instead of an answer replaces no file but our own: the one that was named may be an input that nothing was read of yet.
    putJson(value, { ...choices, force: false }, io);
  } catch (second) {
    if (!(second instanceof PullproofError)) throw second;
    // Where the JSON itself cannot be written, that may be the very problem already told.
    if (second.message !== problem.message) tellProblem(second, io);
  }
}
