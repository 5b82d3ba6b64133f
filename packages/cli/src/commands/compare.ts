import type { Command } from 'commander';
import { addOutputs, type CommandContext, type CompareChoices } from './command.js';

/** `compare TRIAL`: did it help. */
export function addCompare(program: Command, { io, end }: CommandContext): void {
  const command = program
    .command('compare')
    .description('did it help: each setup of a trial against the first and the one before')
    .argument('<trial>', 'the trial file; - for standard input')
    .option('--fuel-table <file.csv>', 'write the measured error of the fuelling, cell by cell, for the tuner')
    .option('--fuel-axes <axis>', 'what it runs along besides engine speed: pressure, airflow (metered engines) or duty', 'pressure')
    .option('--correction <standard>', 'show what a standard would put on the power, as in sae-j1349 or iso-1585; nothing is corrected');
  addOutputs(command, { report: true }).action(async (trialPath: string, choices: CompareChoices) => {
    const { compare } = await import('../jobs/compare.js');
    end(await compare(trialPath, choices, io));
  });
}
