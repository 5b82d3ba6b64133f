import { type PlanOptions, planComparison, planLevel } from '../answers/index.js';
import type { Finding } from '../findings/index.js';
import { evidenceOf, type OpenedLog } from '../pulls/index.js';
import type { PlanResult } from '../result/index.js';
import { parseTrial, type RunInputs, resolveTrial, type TrialFile } from '../trial/index.js';

/**
 * How many more pulls would settle a trial: the smallest change that its pulls could have shown, and what it takes to show the change asked for.
 *
 * Logs that are not there yet, and setups without runs, are planned for: like the logged setup, or from typical spreads marked assumed.
 *
 * @param trial Text of the trial file, or the trial as `parseTrial` gives it.
 * @param trialPath Its path, for messages.
 * @param openLog Opens a log by the path that the trial gives it; null where there is none yet.
 * @param options What is to be shown, with which power.
 * @returns The plan, one entry for each pair that `runTrial` compares.
 * @throws PullproofError with the code of what cannot be used: the trial file, or a log.
 *
 * Validity: an even change over the engine speeds, pulls that repeat as they did, no change of air to be explained away.
 * Source: {@link detectableEffect}; simulation of the product's own band where more than one error counts.
 */
export function planTrial(
  trial: string | TrialFile,
  trialPath: string,
  openLog: (path: string) => OpenedLog | null,
  options: PlanOptions = {},
): PlanResult {
  const { power = 0.8 } = options;
  const file = typeof trial === 'string' ? parseTrial(trial, trialPath) : trial;
  const withRuns = file.setups.filter(({ runs }) => runs !== undefined && runs.length > 0);
  const inputs = withRuns.length === 0 ? null : resolveTrial({ ...file, setups: withRuns });
  const inputsOf = (name: string): readonly RunInputs[] => inputs?.setups.find((setup) => setup.name === name)?.runs ?? [];
  const { file: read, setups, pairs, spread, road, notThere, findings } = evidenceOf(file, inputs, openLog, options);
  return {
    schema: 'pullproof/plan@1',
    title: file.title,
    units: read.units,
    power,
    level: planLevel,
    comparisons: pairs.map(([before, after]) => planComparison(setups[before]!, setups[after]!, spread, inputsOf, { ...options, power })),
    findings: [
      ...road.findings,
      ...notThere.map(notThereYet),
      ...findings.logs.filter(({ severity }) => severity !== 'note'),
      ...findings.pulls,
    ],
  };
}

function notThereYet(inputs: RunInputs): Finding {
  return {
    code: 'LOG_NOT_THERE_YET',
    severity: 'note',
    message: 'The log is not there yet; the run is planned for.',
    where: { path: inputs.log, setup: inputs.setup },
    fix: 'Log it, then plan again or compare.',
  };
}
