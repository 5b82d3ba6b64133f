import { oneSetup, type Question, question } from '../../pulls/index.js';
import { contradictions } from '../knownTwice/knownTwice.js';
import { type ComparedPair, compareSetups } from './compareSetups.js';
import { sharedRecordings } from './sharedRecordings.js';

/** Every pair of setups compared. */
export const comparisons: Question<readonly ComparedPair[]> = question((evidence) => {
  const { setups, pairs, spread, file } = evidence;
  const answer = pairs.map(([before, after]) =>
    compareSetups(setups[before]!, setups[after]!, spread, {
      units: file.units,
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

/** Recordings that stand in more than one setup. */
export const recordings: Question<null> = question((evidence) => {
  const compared = comparisons(evidence).answer;
  const told = evidence.pairs.filter((_, i) => compared[i]!.findings.some(({ code }) => code === 'W_SAME_FILE'));
  return { answer: null, findings: sharedRecordings(evidence.setups, evidence.recordingOf, told) };
});
