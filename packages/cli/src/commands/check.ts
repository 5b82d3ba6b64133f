import type { Command } from 'commander';
import { addOutputs, addReading, type CommandContext, type ManyLogsChoices, type OutputChoices, type ReadingChoices } from './command.js';

/** `check LOG…`: what is in these logs, are they fit for use. */
export function addCheck(program: Command, { io, end }: CommandContext): void {
  const command = program
    .command('check')
    .description('what is in these logs, and are they fit for use')
    .argument('[log...]', 'logs, or patterns such as "logs/**/*.csv"; - for standard input')
    .option('--summary <file>', 'write one row a log as CSV, or as JSON where the name ends in .json')
    .option('--parquet <folder>', 'write the channels of each log and one row a log as Parquet, for an archive')
    .option('--list <file>', 'logs named in a file, one a line; - for standard input')
    .option('--part <k/n>', 'only the logs of this part of the list, such as 3/64: always the same ones')
    .option(
      '--channel <column=what>',
      'what a column is, such as "Col 1=time s"; may be given several times',
      (one: string, all: readonly string[] = []) => [...all, one],
    )
    .option('--all', 'show everything that was found in each log')
    .option('--workers <number>', 'how many logs are read at a time; as many as there are cores when left out');
  addReading(addOutputs(command, { report: true })).action(
    async (named: string[], choices: OutputChoices & ReadingChoices & ManyLogsChoices) => {
      const { check } = await import('../jobs/check.js');
      end(await check(named, choices, io));
    },
  );
}
