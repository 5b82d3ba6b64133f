import type { Command } from 'commander';
import { addOutputs, type CommandContext, type OutputChoices } from './command.js';

/** `compare TRIAL`: did it help. */
export function addCompare(program: Command, { io, end }: CommandContext): void {
  const command = program
    .command('compare')
    .description('did it help: each setup of a trial against the first and the one before')
    .argument('<trial>', 'the trial file; - for standard input');
  addOutputs(command, { report: true }).action(async (trialPath: string, choices: OutputChoices) => {
    const { compare } = await import('../jobs/compare.js');
    end(await compare(trialPath, choices, io));
  });
}
