import type { Finding } from '../../findings/index.js';
import type { FittedSetup } from '../../pulls/index.js';
import type { RunInputs } from '../../trial/index.js';

/**
 * Runs of different setups that are the same span of the same bytes: one recording that is counted for both, and so draws them together.
 *
 * @param setups of the trial
 * @param hashOf SHA-256 of a run's log
 * @param told pairs of setups, by index, of which that is told as a whole
 * @returns one finding for each such pair of runs
 */
export function sharedRecordings(
  setups: readonly FittedSetup[],
  hashOf: (inputs: RunInputs) => string,
  told: readonly (readonly [before: number, after: number])[],
): Finding[] {
  return setups.flatMap((after, a) =>
    setups.slice(0, a).flatMap((before, b) => {
      if (told.some(([one, other]) => one === b && other === a)) return [];
      return after.runs.flatMap(({ inputs }) => {
        const same = before.runs.find((run) => isSame(run.inputs, inputs, hashOf))?.inputs;
        return same === undefined ? [] : [finding(same, before.name, inputs, after.name)];
      });
    }),
  );
}

function isSame(one: RunInputs, other: RunInputs, hashOf: (inputs: RunInputs) => string): boolean {
  return hashOf(one) === hashOf(other) && one.fromTimeS === other.fromTimeS && one.toTimeS === other.toTimeS;
}

function finding(one: RunInputs, before: string, other: RunInputs, after: string): Finding {
  const what =
    one.log === other.log
      ? `${one.log} stands in ${before} and in ${after}`
      : `${one.log} in ${before} and ${other.log} in ${after} are the same recording, byte for byte`;
  return {
    code: 'W_SAME_FILE',
    severity: 'warning',
    message: `${what}: its pulls count twice, and draw the two together.`,
    where: { path: other.log, setup: after },
    fix: 'Leave it in the setup that was driven, or give each setup its own span with from and to.',
  };
}
