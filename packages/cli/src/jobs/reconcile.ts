import { reconcileTrial } from '@pullproof/core';
import type { ExitCode, OutputChoices } from '../commands/command.js';
import { packText } from '../files/packText.js';
import type { Io } from '../io.js';
import { runTrialJob } from './trialJob.js';
import { inUnits, unitsOf } from './unitsOf.js';

/** Sets slips beside logs and pulls and puts what it finds where it was asked for. */
export function reconcile(trialPath: string, choices: OutputChoices, io: Io): Promise<ExitCode> {
  return runTrialJob(trialPath, choices, io, () => {
    const units = unitsOf(choices.units);
    return {
      work: (trial, openLog) => reconcileTrial(inUnits(trial, trialPath, units), trialPath, openLog),
      page: async (result) => (await import('@pullproof/report')).renderReconcile(result, { pack: packText }),
      text: async (result, style, report) => (await import('../terminal/reconcileText.js')).reconcileText(result, style, report),
    };
  });
}
