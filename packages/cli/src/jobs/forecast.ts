import { forecastTrial } from '@pullproof/core';
import type { ExitCode, OutputChoices } from '../commands/command.js';
import { packText } from '../files/packText.js';
import type { Io } from '../io.js';
import { runTrialJob } from './trialJob.js';

/** Forecasts the strip and puts what it finds where it was asked for. */
export function forecast(trialPath: string, choices: OutputChoices, io: Io): Promise<ExitCode> {
  return runTrialJob(trialPath, choices, io, () => ({
    work: (trial, openLog) => forecastTrial(trial, trialPath, openLog),
    page: async (result) => (await import('@pullproof/report')).renderForecast(result, { pack: packText }),
    text: async (result, style, report) => (await import('../terminal/forecastText.js')).forecastText(result, style, report),
  }));
}
