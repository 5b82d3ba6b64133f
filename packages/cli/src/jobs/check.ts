import type { CheckResult } from '@pullproof/core';
import type { ExitCode, OutputChoices, ReadingChoices } from '../commands/command.js';
import { writeOutput } from '../files/writeOutput.js';
import type { Io } from '../io.js';
import { checkText } from '../terminal/checkText.js';
import { styleFor } from '../terminal/style.js';
import { checkLogs, statedReading } from './logs.js';
import { checkOutputs, putJson, putProblem } from './outputs.js';
import { asProblem, errorResult } from './problems.js';

/** Checks logs and puts what was found where it was asked for. */
export async function check(paths: readonly string[], choices: OutputChoices & ReadingChoices, io: Io): Promise<ExitCode> {
  try {
    const stated = statedReading(choices);
    checkOutputs(choices, io);
    const { logs, failed } = checkLogs(paths, stated, io);
    const result: CheckResult = { schema: 'pullproof/check@1', logs };
    if (choices.report !== undefined) {
      const { renderCheck } = await import('@pullproof/report');
      writeOutput(choices.report, renderCheck(result), io.cwd, 'report', { force: choices.force === true });
    }
    putJson(result, choices, io);
    if (choices.json !== '-') {
      const style = styleFor(io.stdout, io.env);
      for (const log of logs) if (log.dialect !== null) io.stdout.write(checkText(log, style));
    }
    return failed === 0 ? 0 : 1;
  } catch (cause) {
    const problem = asProblem(cause);
    putProblem(problem, errorResult(problem), choices, io);
    return problem.code === 'E_STATED' ? 2 : 1;
  }
}
