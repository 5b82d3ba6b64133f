import type { CorrectionStandard } from '../air/index.js';
import {
  calculatedParts,
  comparisons,
  idles,
  mixtureMoves,
  mixtures,
  pressureParts,
  pressures,
  setupBudget,
  setupResults,
  sharpen,
  supplyParts,
  topEnd,
  trialFormulas,
  trialWarnings,
} from '../answers/index.js';
import type { Finding } from '../findings/index.js';
import type { FormulaParser } from '../formulas/index.js';
import { contradictions } from '../knownTwice/index.js';
import { type Evidence, evidenceFindings, gatherEvidence, type OpenedLog, pullTraces, type ReadLogs, twoWayWinds } from '../pulls/index.js';
import type { FuelAxis, TrialResult } from '../result/index.js';
import { parseTrial, type TrialFile } from '../trial/index.js';
import { version } from '../version.js';

/** What a comparison is asked besides what stands in the trial. */
export interface TrialOptions {
  /** Standard by which each run's factor is shown; power itself stays uncorrected. */
  readonly correction?: CorrectionStandard | undefined;
  /** What the rows of the measured error table run along; pressure when left out. */
  readonly fuelAxis?: FuelAxis | undefined;
  /** From `loadFormulaParser`, needed where the trial has calculated quantities; null leaves those out. */
  readonly formulaParser?: FormulaParser | null | undefined;
  /** Units for people, instead of the trial's own. */
  readonly units?: TrialResult['units'] | undefined;
  /** The readings of every pull go into the result, for the report's pull viewer. */
  readonly traces?: boolean | undefined;
  /** Logs as read: an empty map that is handed over again, with other inputs in the trial, saves reading them twice. */
  readonly readLogs?: ReadLogs | undefined;
}

/** Questions whose findings and assumptions the result lists, in this order. */
const questions = [
  contradictions,
  idles,
  comparisons,
  trialWarnings,
  pressureParts,
  calculatedParts,
  mixtures,
  supplyParts,
  topEnd,
] as const;

/**
 * The whole job: a trial file and its logs in, the answer out.
 *
 * @param trial Text of the trial file, or the trial as `parseTrial` gives it.
 * @param trialPath Its path, for messages.
 * @param openLog Opens a log by the path that the trial gives it.
 * @param options See {@link TrialOptions}.
 * @returns The result that every report, table and notebook is made from.
 * @throws PullproofError with the code of what cannot be used: the trial file, or a log.
 */
export function runTrial(
  trial: string | TrialFile,
  trialPath: string,
  openLog: (path: string) => OpenedLog,
  options: TrialOptions = {},
): TrialResult {
  const text = typeof trial === 'string' ? trial : null;
  const asWritten = typeof trial === 'string' ? parseTrial(trial, trialPath) : trial;
  const file = options.units === undefined ? asWritten : { ...asWritten, units: options.units, unitsOpen: false };
  const formulas = trialFormulas(file, text, options.formulaParser);
  const evidence = gatherEvidence(file, openLog, { ...options, formulas });
  const answers = questions.map((ask) => ask(evidence));
  const findings = [...evidenceFindings(evidence), ...(evidence.pairs.length === 0 ? [oneSetup(trialPath)] : [])];
  for (const answer of answers) findings.push(...answer.findings);
  return {
    ...resultOf(evidence),
    ...(options.traces === true ? { traces: pullTraces(evidence.setups) } : {}),
    assumptions: [...evidence.road.assumptions, ...answers.flatMap(({ assumptions }) => assumptions)],
    findings: unique(findings.map((finding) => seenFromTrial(finding, trialPath))),
  };
}

/** The answers in their places of the result. */
function resultOf(evidence: Evidence): Omit<TrialResult, 'assumptions' | 'findings'> {
  const { file, setups, spread } = evidence;
  const { ceilings, blowers } = pressureParts(evidence).answer;
  const compared = comparisons(evidence).answer;
  const calculated = calculatedParts(evidence).answer;
  return {
    schema: 'pullproof/result@1',
    title: file.title,
    units: file.units,
    provenance: { version, inputs: inputsOf(evidence), settings: { level: 0.95, gridRpm: 50, seed: 1 } },
    warning: trialWarnings(evidence).answer,
    overall: compared.map(({ overall }) => overall),
    setups: setupResults(evidence).answer.map((result, i) => ({
      ...result,
      blower: blowers[i]!,
      budget: setupBudget(setups[i]!, spread),
      twoWay: twoWayWinds(setups[i]!, spread),
      mixture: mixtures(evidence).answer[i]!.mixture,
      fuelTable: mixtures(evidence).answer[i]!.fuelTable,
      ...supplyParts(evidence).answer[i]!,
    })),
    comparisons: compared.map(({ comparison }, i) => ({
      ...comparison,
      pressure: pressures(evidence).answer[i]!,
      mixture: mixtureMoves(evidence).answer[i]!,
      idle: idles(evidence).answer[i]!,
    })),
    ceilings,
    contradictions: contradictions(evidence).answer,
    topEnd: topEnd(evidence).answer,
    sharpen: sharpen(evidence).answer,
    ...(calculated.length === 0 ? {} : { calculated }),
  };
}

/** Every log once, by its path; of two readings of one log the last. */
function inputsOf({ logs }: Evidence): TrialResult['provenance']['inputs'] {
  const inputs = new Map<string, TrialResult['provenance']['inputs'][number]>();
  for (const { log, sha256 } of logs)
    inputs.set(log.path, { path: log.path, sha256: sha256 ?? '', rows: log.rows, rowsDropped: log.rowsDropped });
  return [...inputs.values()];
}

function oneSetup(path: string): Finding {
  return {
    code: 'ONE_SETUP',
    severity: 'warning',
    message: 'The trial has one setup, so there is nothing to compare.',
    where: { path, field: 'setups' },
    fix: 'Add the setup after the change with its own runs.',
  };
}

/** Paths in a result are relative to the trial file, so that the working folder does not show: the trial file itself is its name. */
function seenFromTrial(finding: Finding, trialPath: string): Finding {
  if (finding.where.path !== trialPath) return finding;
  return {
    ...finding,
    where: { ...finding.where, path: trialPath.slice(Math.max(trialPath.lastIndexOf('/'), trialPath.lastIndexOf('\\')) + 1) },
  };
}

function unique(findings: readonly Finding[]): Finding[] {
  const seen = new Set<string>();
  return findings.filter((finding) => {
    const key = JSON.stringify([finding.code, finding.message, finding.where]);
    if (seen.has(key)) return false;
    seen.add(key);
    return true;
  });
}
