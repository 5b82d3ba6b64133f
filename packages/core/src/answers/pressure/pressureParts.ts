import { rotorSpeedLimit, rotorSpeedRpm } from '../../boost/index.js';
import type { Finding } from '../../findings/index.js';
import { type FittedSetup, oneSetup, type Question, question, runBarometer } from '../../pulls/index.js';
import type { BlowerResult, CeilingResult, PressureComparison } from '../../result/index.js';
import { comparePressure } from './comparePressure.js';

/** What is known of pressure before setups are compared: ceilings, the sensor as a barometer, the blower's limits, one for each setup. */
export const pressureParts: Question<{
  readonly ceilings: readonly CeilingResult[];
  readonly blowers: readonly (BlowerResult | null)[];
}> = question(({ setups, ceilings }) => {
  const { results, findings } = ceilings();
  const blowers = setups.map(blowerOf);
  return {
    answer: { ceilings: results, blowers: blowers.map(({ blower }) => blower) },
    findings: [
      ...findings,
      ...setups.flatMap(({ runs }) => runs.flatMap((run) => runBarometer(run.log, run.inputs)?.findings ?? [])),
      ...blowers.flatMap(({ findings: own }) => own),
    ],
  };
});

/** Boost of each pair beside each other, see {@link comparePressure}. */
export const pressures: Question<readonly (PressureComparison | null)[]> = question(({ setups, pairs, ceilings }) => {
  const { found } = ceilings();
  const answer = pairs.map(([before, after]) => comparePressure(setups[before]!, setups[after]!, found));
  if (answer.some((one) => one !== null)) return { answer };
  return { answer, status: pairs.length === 0 ? oneSetup : { is: 'not logged', channels: ['manifold-pressure'] } };
});

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
