import path from 'node:path';
import { type CorrectionStandard, correctionStandards, type Finding, PullproofError, runTrial } from '@pullproof/core';
import type { CompareChoices, ExitCode } from '../commands/command.js';
import { readInput, readText } from '../files/readInput.js';
import { writeOutput } from '../files/writeOutput.js';
import type { Io } from '../io.js';
import { Progress } from '../terminal/progress.js';
import { styleFor } from '../terminal/style.js';
import { checkFuelTable, fuelAxisOf, putFuelTable } from './fuelTable.js';
import { checkOutputs, putJson, putProblem } from './outputs.js';
import { asProblem, errorResult } from './problems.js';

const trialLimitBytes = 4_000_000;

/** Runs a trial and puts the answer where it was asked for. */
export async function compare(trialPath: string, choices: CompareChoices, io: Io): Promise<ExitCode> {
  const progress = new Progress(io);
  try {
    checkOutputs(choices, io);
    const correction = correctionOf(choices.correction);
    const fuelAxis = fuelAxisOf(choices.fuelAxes);
    checkFuelTable(choices, io);
    const text = readText(readInput(trialPath, io.cwd, io), trialPath, trialLimitBytes);
    const folder = trialPath === '-' ? io.cwd : path.dirname(path.resolve(io.cwd, trialPath));
    const whileRead: (() => readonly Finding[])[] = [];
    const open = (logPath: string) => {
      const input = readInput(logPath, folder, io, progress.reading);
      whileRead.push(input.findings);
      return input;
    };
    const worked = runTrial(text, trialPath, open, { correction, fuelAxis });
    const result = { ...worked, findings: [...worked.findings, ...whileRead.flatMap((findings) => findings())] };
    if (choices.report !== undefined) {
      progress.tell('writing the report');
      const { renderReport } = await import('@pullproof/report');
      writeOutput(choices.report, renderReport(result), io.cwd, 'report', { force: choices.force === true });
    }
    putFuelTable(result, choices, io);
    progress.clear();
    putJson(result, choices, io);
    if (choices.json !== '-') {
      const { summary } = await import('../terminal/summary.js');
      io.stdout.write(summary(result, styleFor(io.stdout, io.env), choices.report ?? null));
    }
    return 0;
  } catch (cause) {
    progress.clear();
    const problem = asProblem(cause);
    putProblem(problem, errorResult(problem), choices, io);
    return problem.code === 'E_STATED' ? 2 : 1;
  }
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
