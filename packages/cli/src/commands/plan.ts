import type { Command } from 'commander';
import { addOutputs, type CommandContext, type OutputChoices, type PlanChoices } from './command.js';

/** `plan TRIAL`: how many more pulls would settle it. */
export function addPlan(program: Command, { io, end }: CommandContext): void {
  const command = program
    .command('plan')
    .description('how many more pulls would settle it; also before there is any log')
    .argument('<trial>', 'the trial file; - for standard input')
    .option('--units <system>', 'us or metric; those of trial and logs when left out')
    .option('--show <change>', 'the change that is to be shown: a share of power or a power, such as 3%, 5hp or 4kW; 3% when left out');
  addOutputs(command, { report: true }).action(async (trialPath: string, choices: OutputChoices & PlanChoices) => {
    const { plan } = await import('../jobs/plan.js');
    end(await plan(trialPath, choices, io));
  });
}
