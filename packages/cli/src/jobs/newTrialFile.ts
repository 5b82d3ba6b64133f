import path from 'node:path';
import { newTrial } from '@pullproof/core';
import type { ExitCode, NewChoices, ReadingChoices } from '../commands/command.js';
import { checkOutput } from '../files/checkOutput.js';
import { writeOutput } from '../files/writeOutput.js';
import type { Io } from '../io.js';
import { checkLogs, statedReading } from './logs.js';
import { pathFrom } from './logsAsTrial.js';
import { outputOptions } from './outputs.js';
import { asProblem, tellProblem } from './problems.js';

/** Writes a trial file to fill in, to a file or to standard output; paths of logs start where it will be. */
export function newTrialFile(paths: readonly string[], choices: NewChoices & ReadingChoices, io: Io): ExitCode {
  const { output } = choices;
  try {
    const reading = statedReading(choices);
    if (output !== undefined) checkOutput(output, io.cwd, 'trial', outputOptions(choices));
    const { logs, failed } = checkLogs(paths, reading, io);
    const folder = output === undefined ? io.cwd : path.dirname(path.resolve(io.cwd, output));
    const placed = output === undefined ? logs : logs.map((log) => ({ ...log, path: pathFrom(folder, log.path, io.cwd) }));
    const text = newTrial(placed, { reading });
    if (output === undefined) io.stdout.write(text);
    else writeOutput(output, text, io.cwd, 'trial', { ...outputOptions(choices), onInterrupt: io.onInterrupt });
    return failed === 0 ? 0 : 1;
  } catch (cause) {
    const problem = asProblem(cause);
    tellProblem(problem, io);
    return problem.code === 'E_STATED' ? 2 : 1;
  }
}
