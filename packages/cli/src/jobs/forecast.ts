import path from 'node:path';
import { type Finding, forecastTrial } from '@pullproof/core';
import type { ExitCode, OutputChoices } from '../commands/command.js';
import { readInput, readText } from '../files/readInput.js';
import { writeOutput } from '../files/writeOutput.js';
import type { Io } from '../io.js';
import { Progress } from '../terminal/progress.js';
import { styleFor } from '../terminal/style.js';
import { checkOutputs, putJson, putProblem } from './outputs.js';
import { asProblem, errorResult } from './problems.js';

const trialLimitBytes = 4_000_000;

/** Runs the job and puts what it finds where it was asked for. */
export async function forecast(trialPath: string, choices: OutputChoices, io: Io): Promise<ExitCode> {
  const progress = new Progress(io);
  try {
    checkOutputs(choices, io);
    const text = readText(readInput(trialPath, io.cwd, io), trialPath, trialLimitBytes);
    const folder = trialPath === '-' ? io.cwd : path.dirname(path.resolve(io.cwd, trialPath));
    const whileRead: (() => readonly Finding[])[] = [];
    const worked = forecastTrial(text, trialPath, (logPath) => {
      const input = readInput(logPath, folder, io, progress.reading);
      whileRead.push(input.findings);
      return input;
    });
    const result = { ...worked, findings: [...worked.findings, ...whileRead.flatMap((findings) => findings())] };
    if (choices.report !== undefined) {
      progress.tell('writing the report');
      const { renderForecast } = await import('@pullproof/report');
      writeOutput(choices.report, renderForecast(result), io.cwd, 'report', { force: choices.force === true });
    }
    progress.clear();
    putJson(result, choices, io);
    if (choices.json !== '-') {
      const { forecastText } = await import('../terminal/forecastText.js');
      io.stdout.write(forecastText(result, styleFor(io.stdout, io.env), choices.report ?? null));
    }
    return 0;
  } catch (cause) {
    progress.clear();
    const problem = asProblem(cause);
    putProblem(problem, errorResult(problem), choices, io);
    return 1;
  }
}
