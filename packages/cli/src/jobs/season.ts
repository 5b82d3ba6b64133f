import { type SeasonResult, seasonOfTrials } from '@pullproof/core';
import type { ExitCode, OutputChoices } from '../commands/command.js';
import { packText } from '../files/packText.js';
import { readInput } from '../files/readInput.js';
import { spareInputs } from '../files/spareInputs.js';
import { writeOutput } from '../files/writeOutput.js';
import type { Io } from '../io.js';
import { Progress } from '../terminal/progress.js';
import { styleFor } from '../terminal/style.js';
import { findLogs } from './findLogs.js';
import { checkOutputs, outputOptions, putJson, putProblem } from './outputs.js';
import { asProblem, errorResult } from './problems.js';
import { readTrial } from './trialJob.js';

/** Puts one car's trials on one scale, and the answer where it was asked for. */
export async function season(named: readonly string[], choices: OutputChoices, io: Io): Promise<ExitCode> {
  const progress = new Progress(io);
  const outputs = [choices.json, choices.report];
  try {
    checkOutputs(choices, io);
    const paths = await findLogs(named, io.cwd);
    spareInputs(outputs, paths, io.cwd);
    const trials = paths.map((path) => ({ path, ...readTrial(path, io) }));
    const result = seasonOfTrials(trials, (trial, log) => {
      const { folder } = trials[trial]!;
      spareInputs(outputs, [log], io.cwd, folder);
      return readInput(log, folder, io, progress.reading);
    });
    if (choices.report !== undefined) {
      const { renderSeason } = await import('@pullproof/report');
      writeOutput(choices.report, renderSeason(result, { pack: packText }), io.cwd, 'report', {
        ...outputOptions(choices),
        onInterrupt: io.onInterrupt,
      });
    }
    progress.clear();
    putJson(result, choices, io);
    if (choices.json !== '-') io.stdout.write(await textOf(result, choices, io));
    return 0;
  } catch (cause) {
    progress.clear();
    const problem = asProblem(cause);
    putProblem(problem, errorResult(problem), choices, io);
    return problem.code === 'E_STATED' ? 2 : 1;
  }
}

async function textOf(result: SeasonResult, { report }: OutputChoices, io: Io): Promise<string> {
  return (await import('../terminal/seasonText.js')).seasonText(result, styleFor(io.stdout, io.env), report ?? null);
}
