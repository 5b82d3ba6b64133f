import type { Command } from 'commander';
import { addOutputs, addReading, type CommandContext, type OutputChoices, type ReadingChoices } from './command.js';

/** `check LOG…`: what is in these logs, are they fit for use. */
export function addCheck(program: Command, { io, end }: CommandContext): void {
  const command = program
    .command('check')
    .description('what is in these logs, and are they fit for use')
    .argument('<log...>', 'logs; - for standard input');
  addReading(addOutputs(command, { report: true })).action(async (paths: string[], choices: OutputChoices & ReadingChoices) => {
    const { check } = await import('../jobs/check.js');
    end(await check(paths, choices, io));
  });
}
