import { comparisons, logBook, mixtures, seasonPower, seasonSlips, setupResults } from '../answers/index.js';
import { PullproofError } from '../findings/index.js';
import { evidenceFindings, evidenceOf, type OpenedLog, type ReadLogs } from '../pulls/index.js';
import type { SeasonResult } from '../result/index.js';
import { mergeTrials, parseTrial } from '../trial/index.js';
import { version } from '../version.js';

/** A trial of the season: its text and its path. */
export interface SeasonTrial {
  readonly text: string;
  readonly path: string;
}

/**
 * One car over its days: several trials as one, joined by the setups that they share.
 *
 * @param trials at least one, in the order of time
 * @param openLog opens a log by the place of its trial and the path that the trial gives it
 * @param options `readLogs`: as for `runTrial`
 * @returns power of each setup and day on one scale, what days differ by, each setup against the first, slips in one air, the log book
 * @throws PullproofError with the code of what cannot be used
 */
export function seasonOfTrials(
  trials: readonly SeasonTrial[],
  openLog: (trial: number, log: string) => OpenedLog,
  options: { readonly readLogs?: ReadLogs } = {},
): SeasonResult {
  if (trials.length === 0)
    throw new PullproofError('E_STATED', 'A season needs a trial.', {}, 'Name the trial files, in the order of time.');
  const files = trials.map(({ text, path }) => parseTrial(text, path));
  const { file, inputs, logs } = mergeTrials(files);
  const open = (log: string): OpenedLog => {
    const from = logs.get(log)!;
    return openLog(from.trial, from.log);
  };
  const evidence = evidenceOf(file, inputs, open, options);
  const setups = setupResults(evidence).answer;
  const compared = comparisons(evidence);
  return {
    schema: 'pullproof/season@1',
    title: file.title,
    units: file.units,
    provenance: {
      version,
      inputs: evidence.logs.map(({ log, sha256 }) => ({
        path: log.path,
        sha256: sha256 ?? '',
        rows: log.rows,
        rowsDropped: log.rowsDropped,
      })),
      settings: { level: 0.95, gridRpm: 50, seed: 1 },
    },
    ...seasonPower(evidence).answer,
    overall: compared.answer.map(({ overall }) => overall),
    comparisons: compared.answer.map(({ comparison }) => comparison),
    slips: seasonSlips(file, setups, open),
    fuel: mixtures(evidence).answer.flatMap(({ fuelTable }, s) => {
      const factors = (fuelTable?.table?.cells ?? []).map(({ factor }) => factor).sort((a, b) => a - b);
      if (factors.length === 0) return [];
      return [
        {
          setup: evidence.setups[s]!.name,
          factor: factors[factors.length >> 1]!,
          low: factors[0]!,
          high: factors.at(-1)!,
          cells: factors.length,
        },
      ];
    }),
    logBook: logBook(files),
    findings: [...evidenceFindings(evidence), ...compared.findings],
  };
}
