import type { Command } from 'commander';
import { addReading, type CommandContext, type ReadingChoices } from './command.js';

/** `new LOG… > trial.yaml`: a commented trial file to fill in. */
export function addNew(program: Command, { io, end }: CommandContext): void {
  const command = program
    .command('new')
    .description('a commented trial file to fill in: pullproof new LOG… > trial.yaml')
    .argument('<log...>', 'logs, with their paths from where the trial file will be');
  addReading(command).action(async (paths: string[], choices: ReadingChoices) => {
    const { newTrialFile } = await import('../jobs/newTrialFile.js');
    end(newTrialFile(paths, choices, io));
  });
}
