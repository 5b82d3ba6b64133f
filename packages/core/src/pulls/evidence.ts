import type { CorrectionStandard } from '../air/index.js';
import type { Finding } from '../findings/index.js';
import type { Formula } from '../formulas/index.js';
import type { Log } from '../log/index.js';
import { type Repeatability, repeatability } from '../power/index.js';
import type { FuelAxis } from '../result/index.js';
import { motionSignals } from '../stretches/index.js';
import type { RunInputs, TrialFile, TrialInputs } from '../trial/index.js';
import { resolveTrial } from '../trial/index.js';
import { systemOfColumns } from '../units/index.js';
import { comparedPairs } from './comparedPairs.js';
import { estimatorFindings } from './estimatorFindings.js';
import { fitSetups } from './fitSetups.js';
import type { FittedSetup } from './fittedSetup.js';
import { directionFindings } from './headings.js';
import type { LoadedRun } from './loadedRun.js';
import { type FoundCeilings, logCeilings } from './logCeilings.js';
import { type MeasuredRoad, measuredRoad } from './measuredRoad.js';
import { type OpenedLog, openRun, type ReadLogs, type ReadRun, usedKey } from './openRun.js';
import { preparePulls } from './preparePulls.js';
import { pullLevels } from './pullLevels.js';
import { recordingOf } from './recordingOf.js';
import { countedOnce } from './repeatedPulls.js';
import { twoWayFindings } from './twoWay.js';

/** What a trial is asked besides what stands in it. */
export interface EvidenceOptions {
  /** Standard by which each run's factor is shown. */
  readonly correction?: CorrectionStandard | undefined;
  /** What the rows of the measured error table run along; pressure when left out. */
  readonly fuelAxis?: FuelAxis | undefined;
  readonly formulas?: readonly Formula[];
  /** Logs that were read before, and those that are read now. */
  readonly readLogs?: ReadLogs | undefined;
}

/** What every answer of a trial rests on: its inputs, its logs read once, its pulls prepared and fitted once. */
export interface Evidence {
  readonly file: TrialFile;
  readonly options: EvidenceOptions;
  readonly logs: readonly ReadRun[];
  /** Runs whose log is not there yet; only where the caller allows that. */
  readonly notThere: readonly RunInputs[];
  readonly road: MeasuredRoad;
  /** One for each setup of the trial, in its order. */
  readonly setups: readonly FittedSetup[];
  /** Places of the setups that are compared. */
  readonly pairs: readonly (readonly [before: number, after: number])[];
  readonly spread: Repeatability;
  /** What reading the logs and preparing the pulls found. */
  readonly findings: { readonly logs: readonly Finding[]; readonly pulls: readonly Finding[] };
  readonly ceilings: () => FoundCeilings;
  /** SHA-256 of a run's log; empty where nobody gave it. */
  readonly sha256Of: (inputs: RunInputs) => string;
  /** The same for two runs whose log is the same recording. */
  readonly recordingOf: (inputs: RunInputs) => string;
  /** Whether a speed that the power of this log rests on contradicts its name or unit. */
  readonly speedsInDoubt: (log: Log) => boolean;
}

/**
 * Opens the logs of a trial and prepares what every answer reads.
 *
 * @param file the trial as checked
 * @param openLog opens a log by the path that the trial gives it; null, where there is none yet, is for those who plan
 * @throws PullproofError with the code of what cannot be used: the trial file, or a log
 */
export function gatherEvidence(file: TrialFile, openLog: (path: string) => OpenedLog | null, options: EvidenceOptions = {}): Evidence {
  return evidenceOf(file, resolveTrial(file), openLog, options);
}

/** As {@link gatherEvidence}, for a trial whose setups need not have runs yet; `inputs` is null where none has. */
export function evidenceOf(
  file: TrialFile,
  inputs: TrialInputs | null,
  openLog: (path: string) => OpenedLog | null,
  options: EvidenceOptions = {},
): Evidence {
  const opened = new Map<string, ReadRun>();
  const read: ReadLogs = options.readLogs ?? new Map();
  const notThere: RunInputs[] = [];
  const names = file.setups.map(({ name }) => name);
  const runs = names.flatMap((name, setup) =>
    (inputs?.setups.find((one) => one.name === name)?.runs ?? []).flatMap((own): LoadedRun[] => {
      const entry = openRun(own, openLog, opened, read);
      if (entry === null) {
        notThere.push(own);
        return [];
      }
      return [{ setup, inputs: own, log: entry.log, found: entry.found }];
    }),
  );
  const road = measuredRoad(runs, inputs ?? { fromCoastDowns: [], assumptions: [], findings: [] }, file.path);
  const prepared = preparePulls(road.runs, road.grades);
  const logs = [...opened.values()];
  const entryOf = (own: RunInputs): ReadRun => opened.get(usedKey(own))!;
  const recordingOfRun = (own: RunInputs): string => entryOf(own).sha256 ?? recordingOf(entryOf(own).log);
  const once = countedOnce(prepared.pulls, { recordingOf: recordingOfRun });
  const setups = fitSetups(names, road.runs, once.pulls);
  const logFindings = logs.flatMap(({ log }) => log.findings);
  let ceilings: FoundCeilings | null = null;
  return {
    file: inUnitsOfLogs(file, logs),
    options,
    logs,
    notThere,
    road,
    setups,
    pairs: comparedPairs(names.length),
    spread: repeatability(pullLevels(setups), daysOf(file)),
    findings: { logs: logFindings, pulls: [...prepared.findings, ...once.findings] },
    ceilings: () => {
      ceilings ??= logCeilings(setups.flatMap((setup) => setup.runs.map(ceilingSource)));
      return ceilings;
    },
    sha256Of: (own) => entryOf(own).sha256 ?? '',
    recordingOf: recordingOfRun,
    speedsInDoubt: speedDoubts([...logFindings, ...prepared.findings]),
  };
}

function daysOf(file: TrialFile): { spread: number; days: number } | null {
  const stated = file['day-to-day'];
  return stated === undefined ? null : { spread: stated.spread.si, days: stated.days };
}

/** What is known of a trial before any question is answered. */
export function evidenceFindings({ road, setups, spread, findings }: Evidence): Finding[] {
  return [
    ...road.findings,
    ...findings.logs,
    ...findings.pulls,
    ...estimatorFindings(setups),
    ...setups.flatMap((setup) => twoWayFindings(setup, spread)),
    ...directionFindings(road.runs.map(({ inputs }) => inputs)),
  ];
}

/** A trial that leaves its units open is read in those of its logs. */
function inUnitsOfLogs(file: TrialFile, logs: readonly ReadRun[]): TrialFile {
  if (file.unitsOpen !== true) return file;
  return { ...file, units: systemOfColumns(logs.flatMap(({ log }) => log.channels.map(({ unit }) => unit))) ?? file.units };
}

function ceilingSource({ log, found, inputs }: LoadedRun): Parameters<typeof logCeilings>[0][number] {
  const { fromTimeS, toTimeS, setup, stationPressurePa, mapSensor } = inputs;
  return {
    log,
    signals: found.signals,
    pulls: found.pulls.filter(
      ({ startS, endS }) => startS >= (fromTimeS ?? Number.NEGATIVE_INFINITY) && endS <= (toTimeS ?? Number.POSITIVE_INFINITY),
    ),
    setup,
    stationPressurePa: stationPressurePa.value,
    sensorKey: JSON.stringify(mapSensor),
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
