import { rotorSpeedLimit, rotorSpeedRpm } from '../../boost/index.js';
import type { Finding } from '../../findings/index.js';
import type { FittedSetup, LoadedRun } from '../../pulls/index.js';
import { type FoundCeiling, logCeilings, runBarometer } from '../../pulls/index.js';
import type { BlowerResult, CeilingResult } from '../../result/index.js';

/** What is known of pressure before setups are compared: ceilings, the sensor as a barometer, the blower's limits. */
export interface PressureParts {
  readonly ceilings: readonly CeilingResult[];
  readonly found: readonly FoundCeiling[];
  /** One for each setup. */
  readonly blowers: readonly (BlowerResult | null)[];
  readonly findings: readonly Finding[];
}

/** Looks through every run for ceilings, checks the sensors as barometers, and holds rotor speeds against the blower's limit. */
export function pressureParts(setups: readonly FittedSetup[]): PressureParts {
  const runs = setups.flatMap((setup) => setup.runs);
  const { results, found, findings } = logCeilings(
    runs.map((run) => ({
      log: run.log,
      signals: run.found.signals,
      pulls: pullsOfRun(run),
      setup: run.inputs.setup,
      stationPressurePa: run.inputs.stationPressurePa.value,
      sensorKey: JSON.stringify(run.inputs.mapSensor),
    })),
  );
  const blowers = setups.map(blowerOf);
  return {
    ceilings: results,
    found,
    blowers: blowers.map(({ blower }) => blower),
    findings: [
      ...findings,
      ...runs.flatMap((run) => runBarometer(run.log, run.inputs)?.findings ?? []),
      ...blowers.flatMap(({ findings: own }) => own),
    ],
  };
}

function pullsOfRun(run: LoadedRun): LoadedRun['found']['pulls'] {
  const from = run.inputs.fromTimeS ?? Number.NEGATIVE_INFINITY;
  const to = run.inputs.toTimeS ?? Number.POSITIVE_INFINITY;
  return run.found.pulls.filter((pull) => pull.startS >= from && pull.endS <= to);
}

function blowerOf(setup: FittedSetup): { readonly blower: BlowerResult | null; readonly findings: readonly Finding[] } {
  const inputs = setup.runs[0]?.inputs;
  const blower = inputs?.blower ?? null;
  if (inputs === undefined || blower === null) return { blower: null, findings: [] };
  const { driveRatio, maxRotorSpeedRpm } = blower;
  const { redlineRpm } = inputs;
  const fastest = Math.max(0, ...setup.pulls.map((pull) => pull.pull.toRpm ?? 0));
  const limit =
    driveRatio === null || maxRotorSpeedRpm === null
      ? null
      : rotorSpeedLimit(driveRatio, {
          maxRotorSpeedRpm,
          redlineRpm: redlineRpm ?? 0,
          where: { setup: setup.name },
        });
  return {
    blower: {
      driveRatio,
      maxRotorSpeedRpm,
      rotorSpeedAtRedlineRpm: driveRatio === null || redlineRpm === null ? null : rotorSpeedRpm(redlineRpm, driveRatio),
      highestEngineSpeedRpm: limit?.highestEngineSpeedRpm ?? null,
      fastestInPullsRpm: driveRatio === null || fastest === 0 ? null : rotorSpeedRpm(fastest, driveRatio),
    },
    findings: limit?.findings ?? [],
  };
}
