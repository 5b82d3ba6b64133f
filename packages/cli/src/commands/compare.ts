import type { Command } from 'commander';
import { addOutputs, type CommandContext, type CompareChoices, collected } from './command.js';

/** `compare TRIAL`, or `compare BEFORE.csv AFTER.csv`: did it help. */
export function addCompare(program: Command, { io, end }: CommandContext): void {
  const command = program
    .command('compare')
    .description('did it help: logs before and after, or a trial file')
    .argument('[input...]', 'a trial file (- for standard input), or logs: before.csv after.csv')
    .option('--after <log...>', 'logs after the change, where there are several: compare before*.csv --after after*.csv')
    .option('--setup <name-and-logs>', 'a setup by name with its logs: --setup "small pulley" a.csv b.csv; repeat it', collected)
    .option('--mass <weight>', 'car on a scale, such as 3478lb or "3478lb driver in"; this and all up to --save go with logs')
    .option('--driver <weight>', 'weight of the driver')
    .option('--fuel <amount>', 'fuel in the tank, such as 9gal')
    .option('--tire <size>', 'size of the driven tires, such as 245/45R17')
    .option('--weather <air>', 'such as "72F 29.92inHg 40%", with station pressure; once for all, or once for each setup', collected)
    .option('--same-outing', 'all logs are of one trip: same road, same day, same warm-up')
    .option('--set <field=value>', 'any other field of the trial file, such as "car.final-drive=3.73"; repeat it', collected)
    .option('--save <trial.yaml>', 'write the trial that the logs and options make')
    .option('--units <system>', 'us or metric; those of trial and logs when left out')
    .option('--all', 'everything in the terminal, not only the first screen')
    .option('--fuel-table <file.csv>', 'write the fueling error, cell by cell, for the tuner')
    .option('--fuel-axes <axis>', 'what it runs along besides engine speed: pressure, airflow (metered engines) or duty', 'pressure')
    .option('--correction <standard>', 'show what a standard would put on the power, as in sae-j1349 or iso-1585; nothing is corrected');
  addOutputs(command, { report: true }).action(async (inputs: string[], choices: CompareChoices) => {
    const { compare } = await import('../jobs/compare.js');
    end(await compare(inputs, choices, io));
  });
}
