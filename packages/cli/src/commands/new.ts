import type { Command } from 'commander';
import { addPermissions, addReading, type CommandContext, type NewChoices, type ReadingChoices } from './command.js';

/** `new LOG… --output trial.yaml`: a commented trial file to fill in. */
export function addNew(program: Command, { io, end }: CommandContext): void {
  const command = program
    .command('new')
    .description('a commented trial file to fill in: pullproof new LOG… --output trial.yaml')
    .argument('<log...>', 'logs of all setups')
    .option('--output <trial.yaml>', 'where to write it; paths of logs then start there. Standard output when left out');
  addReading(addPermissions(command)).action(async (paths: string[], choices: NewChoices & ReadingChoices) => {
    const { newTrialFile } = await import('../jobs/newTrialFile.js');
    end(newTrialFile(paths, choices, io));
  });
}
