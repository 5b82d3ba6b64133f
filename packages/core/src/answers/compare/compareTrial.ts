import { contradictions } from '../../knownTwice/index.js';
import { oneSetup, type Question, question } from '../../pulls/index.js';
import { type ComparedPair, compareSetups } from './compareSetups.js';

/** Every pair of setups compared. */
export const comparisons: Question<readonly ComparedPair[]> = question((evidence) => {
  const { setups, pairs, spread, file } = evidence;
  const answer = pairs.map(([before, after]) =>
    compareSetups(setups[before]!, setups[after]!, spread, {
      units: file.units,
      expectedLarge: file.expected === 'large' ? (file.reason ?? null) : null,
      hashOf: evidence.recordingOf,
      ceilings: evidence.ceilings().found,
      speedsInDoubt: evidence.speedsInDoubt,
      contradictions: contradictions(evidence).answer,
    }),
  );
  const findings = answer.flatMap((pair) => pair.findings);
  if (pairs.length === 0) return { answer, findings, status: oneSetup };
  if (answer.some(({ overall }) => overall.verdict !== 'cannot tell')) return { answer, findings };
  return { answer, findings, status: { is: 'cannot tell', why: answer[0]!.overall.sentence } };
});
