import { newTrial } from '@pullproof/core';
import type { Command } from 'commander';
import type { CommandContext } from './command.js';
import { addReading, checkLogs, type Stated } from './logs.js';

/** `new LOG… > trial.yaml`: a commented trial file to fill in. */
export function addNew(program: Command, { io, end }: CommandContext): void {
  const command = program.command('new').argument('<log...>', 'logs, with their paths from where the trial file will be');
  addReading(command.description('a commented trial file to fill in: pullproof new LOG… > trial.yaml'));
  command.action((paths: string[], stated: Stated) => {
    const { logs, failed } = checkLogs(paths, stated, io);
    io.stdout.write(newTrial(logs));
    end(failed === 0 ? 0 : 1);
  });
}
