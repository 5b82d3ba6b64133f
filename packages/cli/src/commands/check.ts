import type { CheckResult } from '@pullproof/core';
import type { Command } from 'commander';
import { checkText } from '../terminal/checkText.js';
import { styleFor } from '../terminal/style.js';
import { asProblem, type CommandContext, errorResult } from './command.js';
import { addReading, checkLogs, type Stated } from './logs.js';
import { addOutputs, checkOutputs, type OutputChoices, putJson, putProblem } from './outputs.js';

/** `check LOG…`: what is in these logs, are they fit for use. */
export function addCheck(program: Command, { io, end }: CommandContext): void {
  const command = program.command('check').argument('<log...>', 'logs; - for standard input');
  addOutputs(addReading(command.description('what is in these logs, and are they fit for use')), { report: false });
  command.action((paths: string[], choices: OutputChoices & Stated) => {
    const { json, report: _report, force, ...stated } = choices;
    const outputs: OutputChoices = { ...(json === undefined ? {} : { json }), ...(force === undefined ? {} : { force }) };
    try {
      checkOutputs(outputs, io);
      const { logs, failed } = checkLogs(paths, stated, io);
      const result: CheckResult = { schema: 'pullproof/check@1', logs };
      putJson(result, outputs, io);
      if (json !== '-') {
        const style = styleFor(io.stdout, io.env);
        for (const log of logs) if (log.dialect !== null) io.stdout.write(checkText(log, style));
      }
      end(failed === 0 ? 0 : 1);
    } catch (cause) {
      const problem = asProblem(cause);
      putProblem(problem, errorResult(problem), outputs, io);
      end(1);
    }
  });
}
