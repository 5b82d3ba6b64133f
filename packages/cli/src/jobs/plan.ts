import { type PlanOptions, PullproofError, parseQuantity, planTrial } from '@pullproof/core';
import type { ExitCode, OutputChoices, PlanChoices } from '../commands/command.js';
import { isThere } from '../files/isThere.js';
import { packText } from '../files/packText.js';
import { readInput } from '../files/readInput.js';
import { spareInputs } from '../files/spareInputs.js';
import { writeOutput } from '../files/writeOutput.js';
import type { Io } from '../io.js';
import { planText } from '../terminal/planText.js';
import { Progress } from '../terminal/progress.js';
import { styleFor } from '../terminal/style.js';
import { inTrial, logInPlaceOfTrial, spareNamed } from './otherInput.js';
import { checkOutputs, outputOptions, putJson, putProblem } from './outputs.js';
import { asProblem, errorResult } from './problems.js';
import { readTrial } from './trialJob.js';
import { inUnits, unitsOf } from './unitsOf.js';

/** Plans a trial and puts the plan where it was asked for. */
export async function plan(trialPath: string, choices: OutputChoices & PlanChoices, io: Io): Promise<ExitCode> {
  const progress = new Progress(io);
  let trialText = '';
  try {
    const show = shown(choices.show);
    const units = unitsOf(choices.units);
    checkOutputs(choices, io);
    spareInputs([choices.json, choices.report], [trialPath], io.cwd);
    const { text, folder } = readTrial(trialPath, io);
    trialText = text;
    spareNamed([choices.json, choices.report], text, trialPath, io.cwd, folder);
    const open = (logPath: string) =>
      isThere(logPath, folder) ? inTrial(trialPath, text, logPath, () => readInput(logPath, folder, io, progress.reading)) : null;
    const result = planTrial(inUnits(text, trialPath, units), trialPath, open, show);
    if (choices.report !== undefined) {
      progress.tell('writing the report');
      const { renderPlan } = await import('@pullproof/report');
      writeOutput(choices.report, renderPlan(result, { pack: packText }), io.cwd, 'report', {
        ...outputOptions(choices),
        onInterrupt: io.onInterrupt,
      });
    }
    progress.clear();
    putJson(result, choices, io);
    if (choices.json !== '-') io.stdout.write(planText(result, styleFor(io.stdout, io.env)));
    return 0;
  } catch (cause) {
    progress.clear();
    const problem = logInPlaceOfTrial(asProblem(cause), trialPath, trialText);
    putProblem(problem, errorResult(problem), choices, io);
    return problem.code === 'E_SHOW' || problem.code === 'E_STATED' ? 2 : 1;
  }
}

/** A change as typed: a share of power, or a power. */
function shown(written: string | undefined): PlanOptions {
  if (written === undefined) return {};
  const wrong = (): PullproofError =>
    new PullproofError(
      'E_SHOW',
      `"${written}" is no change that could be shown.`,
      {},
      'Write it like --show 3%, --show 5hp or --show 4kW.',
    );
  const isShare = written.trim().endsWith('%');
  let value: number;
  try {
    value = parseQuantity(written, isShare ? 'ratio' : 'power', {}).valueSi;
  } catch (cause) {
    if (cause instanceof PullproofError) throw wrong();
    throw cause;
  }
  if (!(value > 0) || (isShare && value >= 1)) throw wrong();
  return isShare ? { showShare: value } : { showW: value };
}
