import {
  type CorrectionStandard,
  correctionStandards,
  loadFormulaParser,
  mayHaveFormulas,
  PullproofError,
  runTrial,
} from '@pullproof/core';
import type { CompareChoices, ExitCode } from '../commands/command.js';
import type { Io } from '../io.js';
import { checkFuelTable, fuelAxisOf, putFuelTable } from './fuelTable.js';
import { runTrialJob } from './trialJob.js';

/** Runs a trial and puts the answer where it was asked for. */
export function compare(trialPath: string, choices: CompareChoices, io: Io): Promise<ExitCode> {
  return runTrialJob(trialPath, choices, io, () => {
    const correction = correctionOf(choices.correction);
    const fuelAxis = fuelAxisOf(choices.fuelAxes);
    checkFuelTable(choices, io);
    return {
      work: async (text, openLog) => {
        const formulaParser = mayHaveFormulas(text) ? await loadFormulaParser() : undefined;
        return runTrial(text, trialPath, openLog, { correction, fuelAxis, formulaParser });
      },
      page: async (result) => (await import('@pullproof/report')).renderReport(result),
      text: async (result, style, report) => (await import('../terminal/summary.js')).summary(result, style, report),
      further: (result) => putFuelTable(result, choices, io),
    };
  });
}

/** The standard that was asked for; a word that names none is wrong usage. */
function correctionOf(written: string | undefined): CorrectionStandard | undefined {
  if (written === undefined) return undefined;
  const known = correctionStandards.find((standard) => standard === written.toLowerCase());
  if (known !== undefined) return known;
  throw new PullproofError(
    'E_STATED',
    `"${written}" is no standard known to --correction.`,
    {},
    `Say one of ${correctionStandards.join(', ')}.`,
  );
}
