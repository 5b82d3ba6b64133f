import type { CorrectionStandard } from '../air/index.js';
import {
  calculatedParts,
  compareMixture,
  comparePressure,
  compareSetups,
  idleBeside,
  idleFindings,
  mixtureAssumptions,
  mixtureParts,
  pressureParts,
  setupBudget,
  setupResult,
  sharedRecordings,
  supplyParts,
  topEnd,
  trialFormulas,
  trialWarnings,
} from '../answers/index.js';
import type { Finding } from '../findings/index.js';
import type { FormulaParser } from '../formulas/index.js';
import type { Log } from '../log/index.js';
import { repeatability } from '../power/index.js';
import {
  comparedPairs,
  directionFindings,
  estimatorFindings,
  fitSetups,
  type LoadedRun,
  measuredRoad,
  type OpenedLog,
  openRun,
  preparePulls,
  pullLevels,
  pullTraces,
  type ReadRun,
  readingKey,
  twoWayFindings,
  twoWayWinds,
} from '../pulls/index.js';
import type { FuelAxis, TrialResult } from '../result/index.js';
import { motionSignals } from '../stretches/index.js';
import type { RunInputs } from '../trial/index.js';
import { parseTrial, resolveTrial } from '../trial/index.js';
import { version } from '../version.js';

/**
 * The whole job: a trial file and its logs in, the answer out.
 *
 * @param trialText Text of the trial file.
 * @param trialPath Its path, for messages.
 * @param openLog Opens a log by the path that the trial gives it.
 * @param options `correction`: standard by which each run's factor is shown; power itself stays uncorrected. `fuelAxis`: what the rows of the measured error table run along, default pressure.
 * `formulaParser`: from `loadFormulaParser`, needed where the trial has calculated quantities; null leaves those out.
 * `units`: for people, instead of the trial's own. `traces`: the readings of every pull go into the result, for the report's pull viewer.
 * @returns The result that every report, table and notebook is made from.
 * @throws PullproofError with the code of what cannot be used: the trial file, or a log.
 */
export function runTrial(
  trialText: string,
  trialPath: string,
  openLog: (path: string) => OpenedLog,
  options: {
    readonly correction?: CorrectionStandard | undefined;
    readonly fuelAxis?: FuelAxis | undefined;
    readonly formulaParser?: FormulaParser | null | undefined;
    readonly units?: TrialResult['units'] | undefined;
    readonly traces?: boolean | undefined;
  } = {},
): TrialResult {
  const { fuelAxis = 'pressure' } = options;
  const file = parseTrial(trialText, trialPath);
  const formulas = trialFormulas(file, trialText, options.formulaParser);
  const trial = resolveTrial(options.units === undefined ? file : { ...file, units: options.units });
  const opened = new Map<string, ReadRun>();
  const loaded: LoadedRun[] = trial.setups.flatMap((setup, index) =>
    setup.runs.map((inputs): LoadedRun => {
      const { log, found } = openRun(inputs, openLog, opened);
      return { setup: index, inputs, log, found };
    }),
  );
  const road = measuredRoad(loaded, trial, trialPath);
  const { runs } = road;
  const prepared = preparePulls(runs, road.grades);
  const setups = fitSetups(
    trial.setups.map((setup) => setup.name),
    runs,
    prepared.pulls,
  );
  const spread = repeatability(pullLevels(setups));
  const findings: Finding[] = [...road.findings];
  for (const { log } of opened.values()) findings.push(...log.findings);
  findings.push(...prepared.findings, ...estimatorFindings(setups), ...setups.flatMap((setup) => twoWayFindings(setup, spread)));
  findings.push(...directionFindings(runs.map(({ inputs }) => inputs)));
  if (setups.length < 2) findings.push(oneSetup(trialPath));
  const pairs = comparedPairs(setups.length);
  const hashes = new Map([...opened].map(([key, { sha256 }]) => [key, sha256]));
  const pressure = pressureParts(setups);
  const speedsInDoubt = speedDoubts([...opened.values()].flatMap(({ log }) => log.findings).concat(prepared.findings));
  const hashOf = (run: RunInputs): string => hashes.get(readingKey(run)) ?? '';
  const compared = pairs.map(([before, after]) =>
    compareSetups(setups[before]!, setups[after]!, spread, {
      units: trial.units,
      hashOf,
      ceilings: pressure.found,
      speedsInDoubt,
    }),
  );
  const sameAsWhole = pairs.filter((_, i) => compared[i]!.findings.some(({ code }) => code === 'W_SAME_FILE'));
  findings.push(...sharedRecordings(setups, hashOf, sameAsWhole));
  const watched = trialWarnings(setups);
  const calculated = calculatedParts(setups, formulas, pressure.found);
  const mixtures = setups.map((setup) =>
    mixtureParts(setup, { ceilings: pressure.found, axis: fuelAxis, hashOf: (run) => hashOf(run.inputs) }),
  );
  const idles = pairs.map(([before, after]) => idleBeside(setups[before]!, setups[after]!));
  findings.push(...idles.flatMap((idle, index) => idleFindings(idle, setups[pairs[index]![1]]!)));
  findings.push(...compared.flatMap(({ findings: own }) => own), ...watched.findings, ...pressure.findings, ...calculated.findings);
  const results = setups.map((setup) => setupResult(setup, spread, pressure.found, options.correction));
  const wheelPowerW = results.map(({ curves }) => curves.wheelPowerW);
  const supplied = supplyParts(setups, { file, spread, ceilings: pressure.found, wheelPowerW });
  findings.push(...supplied.findings);
  const pressures = pairs.map(([before, after]) => comparePressure(setups[before]!, setups[after]!, pressure.found));
  const overall = compared.map((one) => one.overall);
  const top = topEnd(setups, pairs, { ceilings: pressure.found, pressures, units: trial.units, overall });
  findings.push(...top.findings);
  const inputs = new Map<string, { path: string; sha256: string; rows: number; rowsDropped: number }>();
  for (const { log, sha256 } of opened.values())
    inputs.set(log.path, { path: log.path, sha256, rows: log.rows, rowsDropped: log.rowsDropped });
  return {
    schema: 'pullproof/result@1',
    title: trial.title,
    units: trial.units,
    provenance: { version, inputs: [...inputs.values()], settings: { level: 0.95, gridRpm: 50, seed: 1 } },
    overall,
    warning: watched.warning,
    setups: setups.map((setup, index) => ({
      ...results[index]!,
      blower: pressure.blowers[index]!,
      budget: setupBudget(setup, spread),
      twoWay: twoWayWinds(setup, spread),
      mixture: mixtures[index]!.mixture,
      fuelTable: mixtures[index]!.fuelTable,
      ...supplied.setups[index]!,
    })),
    comparisons: compared.map(({ comparison }, index) => {
      const [before, after] = pairs[index]!;
      return {
        ...comparison,
        pressure: pressures[index]!,
        mixture: compareMixture(mixtures[before]!.readings, mixtures[after]!.readings),
        idle: idles[index]!,
      };
    }),
    ceilings: pressure.ceilings,
    topEnd: top.result,
    ...(options.traces === true ? { traces: pullTraces(setups) } : {}),
    ...(formulas.length === 0 ? {} : { calculated: calculated.results }),
    assumptions: [...road.assumptions, ...watched.assumptions, ...mixtureAssumptions(setups, mixtures), ...supplied.assumptions],
    findings: unique(findings.map((finding) => seenFromTrial(finding, trialPath))),
  };
}

/** Whether a finding contradicts the name or unit of a speed that a log's power rests on. */
function speedDoubts(findings: readonly Finding[]): (log: Log) => boolean {
  const doubted = findings.filter(({ code }) => code === 'W_IMPLAUSIBLE').map(({ where }) => where);
  return (log) => {
    const { engine, road } = motionSignals(log);
    return [engine, road].some((readings) =>
      doubted.some(({ path, channel }) => readings !== null && path === log.path && channel === readings.channel.name),
    );
  };
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
