import { newTrial } from '@pullproof/core';
import type { ExitCode, ReadingChoices } from '../commands/command.js';
import type { Io } from '../io.js';
import { checkLogs, statedReading } from './logs.js';
import { asProblem, tellProblem } from './problems.js';

/** Writes a trial file to fill in to standard output. */
export function newTrialFile(paths: readonly string[], choices: ReadingChoices, io: Io): ExitCode {
  try {
    const reading = statedReading(choices);
    const { logs, failed } = checkLogs(paths, reading, io);
    io.stdout.write(newTrial(logs, { reading }));
    return failed === 0 ? 0 : 1;
  } catch (cause) {
    const problem = asProblem(cause);
    tellProblem(problem, io);
    return problem.code === 'E_STATED' ? 2 : 1;
  }
}
