import type { Command } from 'commander';
import { addOutputs, type CommandContext, type OutputChoices } from './command.js';

/** `forecast TRIAL`: before the strip. */
export function addForecast(program: Command, { io, end }: CommandContext): void {
  const command = program
    .command('forecast')
    .description('what it will run at the strip, what a change is worth there, what the slips have taught')
    .argument('<trial>', 'the trial file; - for standard input')
    .option('--units <system>', 'us or metric; those of trial and logs when left out');
  addOutputs(command, { report: true }).action(async (trialPath: string, choices: OutputChoices) => {
    const { forecast } = await import('../jobs/forecast.js');
    end(await forecast(trialPath, choices, io));
  });
}
