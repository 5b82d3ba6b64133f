import type { Command } from 'commander';
import { addOutputs, type CommandContext, type OutputChoices } from './command.js';

/** `reconcile TRIAL`: slip against log. */
export function addReconcile(program: Command, { io, end }: CommandContext): void {
  const command = program
    .command('reconcile')
    .description('does the timeslip agree with the log of the pass, and with the pulls')
    .argument('<trial>', 'the trial file; - for standard input')
    .option('--units <system>', 'us or metric; those of trial and logs when left out');
  addOutputs(command, { report: true }).action(async (trialPath: string, choices: OutputChoices) => {
    const { reconcile } = await import('../jobs/reconcile.js');
    end(await reconcile(trialPath, choices, io));
  });
}
