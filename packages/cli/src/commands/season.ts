import type { Command } from 'commander';
import { addOutputs, type CommandContext, type OutputChoices } from './command.js';

/** `season TRIAL…`: one car over its days. */
export function addSeason(program: Command, { io, end }: CommandContext): void {
  const command = program
    .command('season')
    .description('one car over its days: every setup and day of several trials on one scale')
    .argument('<trial...>', 'trial files of one car, or patterns such as "trials/*.yaml"');
  addOutputs(command, { report: true }).action(async (trials: string[], choices: OutputChoices) => {
    const { season } = await import('../jobs/season.js');
    end(await season(trials, choices, io));
  });
}
