import type { Finding } from '../../findings/index.js';
import { compareIdle, type IdleComparison, type SteadyHealth } from '../../fuel/index.js';
import { type FittedSetup, oneSetup, type Question, question } from '../../pulls/index.js';
import { steadyOf } from './steadyOf.js';

/** Idle of each pair. */
export const idles: Question<readonly (IdleComparison | null)[]> = question(({ setups, pairs }) => {
  const answer = pairs.map(([before, after]) => idleBeside(setups[before]!, setups[after]!));
  const findings = answer.flatMap((idle, i) => idleFindings(idle, setups[pairs[i]![1]]!));
  if (answer.some((one) => one !== null)) return { answer, findings };
  return { answer, status: pairs.length === 0 ? oneSetup : { is: 'cannot tell', why: 'no warm idle of both setups is long enough' } };
});

/** Idle of one setup beside that of another, cruise taken into account; null where either idle is too short to judge. */
function idleBeside(before: FittedSetup, after: FittedSetup): IdleComparison | null {
  const health = (setup: FittedSetup, kind: 'idle' | 'cruise'): SteadyHealth | null =>
    steadyOf(
      setup.runs.map(({ log, found, inputs }) => ({ log, found, stationPressurePa: inputs.stationPressurePa.value })),
      kind,
    );
  const first = health(before, 'idle');
  const second = health(after, 'idle');
  if (first === null || second === null) return null;
  return compareIdle(first, second, { before: health(before, 'cruise'), after: health(after, 'cruise') });
}

/** What the idle after a change tells that somebody should look at. */
function idleFindings(idle: IdleComparison | null, after: FittedSetup): Finding[] {
  if (idle === null || idle.verdict === 'nothing unusual' || idle.verdict === 'cannot tell') return [];
  return [
    {
      code: `W_IDLE_${idle.verdict.toUpperCase().replaceAll(' ', '_')}`,
      severity: 'warning',
      message: `The idle of ${after.name} looks like this: ${idle.verdict}. ${idle.evidence.join('; ')}.`,
      where: { setup: after.name },
      fix: idle.fix,
    },
  ];
}
