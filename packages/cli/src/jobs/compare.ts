import {
  type CorrectionStandard,
  correctionStandards,
  loadFormulaParser,
  mayHaveFormulas,
  PullproofError,
  type ReadLogs,
  runTrial,
  type TrialDraft,
  type TrialResult,
} from '@pullproof/core';
import type { CompareChoices, ExitCode } from '../commands/command.js';
import { checkOutput } from '../files/checkOutput.js';
import { packText } from '../files/packText.js';
import { writeOutput } from '../files/writeOutput.js';
import type { Io } from '../io.js';
import { checkFuelTable, fuelAxisOf, putFuelTable } from './fuelTable.js';
import { logsAsTrial, savedTrial } from './logsAsTrial.js';
import { outputOptions } from './outputs.js';
import { isStated } from './statedInputs.js';
import { runTrialJob, type TrialSource } from './trialJob.js';
import { unitsOf } from './unitsOf.js';

/** Runs a trial, or one made of logs, and puts the answer where it was asked for. */
export function compare(inputs: readonly string[], choices: CompareChoices, io: Io): Promise<ExitCode> {
  let made: TrialDraft | null = null;
  const fromLogs = async (): Promise<TrialSource> => {
    const source = await logsAsTrial(inputs, choices, io);
    made = source.draft;
    return source;
  };
  const trial = trialNamed(inputs, choices);
  return runTrialJob(trial ?? fromLogs, choices, io, () => {
    const units = unitsOf(choices.units);
    if (trial !== null) refuseStated(choices);
    if (choices.save !== undefined) checkOutput(choices.save, io.cwd, 'trial', outputOptions(choices));
    const correction = correctionOf(choices.correction);
    const fuelAxis = fuelAxisOf(choices.fuelAxes);
    checkFuelTable(choices, io);
    // Readings of the pulls are for the report; the JSON stays without them.
    let readings: TrialResult['traces'];
    // The report answers in both systems of units: no log is read twice for that.
    const readLogs: ReadLogs = new Map();
    const answer = async (
      asked: Parameters<typeof runTrial>[0],
      openLog: Parameters<typeof runTrial>[2],
      shown: { readonly units: TrialResult['units'] | undefined; readonly traces?: boolean },
    ): Promise<TrialResult> => {
      const formulaParser = typeof asked !== 'string' || mayHaveFormulas(asked) ? await loadFormulaParser() : undefined;
      return runTrial(asked, trial ?? choices.save ?? 'command line', openLog, { correction, fuelAxis, formulaParser, readLogs, ...shown });
    };
    return {
      work: async (asked, openLog) => {
        const { traces, ...result } = await answer(asked, openLog, { units, traces: choices.report !== undefined });
        readings = traces;
        return result;
      },
      page: async (result, again) => {
        const { renderReport } = await import('@pullproof/report');
        const other = result.units === 'metric' ? 'imperial' : 'metric';
        const otherUnits = (await again((asked, openLog) => answer(asked, openLog, { units: other }))) ?? undefined;
        return renderReport(readings === undefined ? result : { ...result, traces: readings }, { otherUnits, pack: packText });
      },
      text: async (result, style, report) =>
        choices.all === true
          ? (await import('../terminal/summary.js')).summary(result, style, report)
          : (await import('../terminal/firstScreen.js')).firstScreen(result, style, report),
      further: (result) => {
        putFuelTable(result, choices, io);
        if (made !== null && choices.save !== undefined)
          writeOutput(choices.save, savedTrial(made, choices.save, io), io.cwd, 'trial', {
            ...outputOptions(choices),
            onInterrupt: io.onInterrupt,
          });
      },
    };
  });
}

/** The trial file, where one was named and no logs. */
function trialNamed(inputs: readonly string[], choices: CompareChoices): string | null {
  const logsToo = choices.after !== undefined || choices.setup !== undefined;
  const file = inputs.find((input) => /\.ya?ml$/i.test(input)) ?? (inputs.length === 1 && !logsToo ? inputs[0] : undefined);
  return file === undefined || inputs.length > 1 || logsToo ? null : file;
}

/** What is stated goes with logs; a trial file has its own fields. */
function refuseStated(choices: CompareChoices): void {
  if (!isStated(choices) && choices.save === undefined) return;
  throw new PullproofError(
    'E_STATED',
    'These options go with logs, and a trial file was named.',
    {},
    'Enter the values in the trial file, or name the logs: compare before.csv after.csv.',
  );
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
