import { type PowerDifference, type VerdictReasonCode, verdictReasons } from '../../compare/index.js';
import { type FittedSetup, tooFewReadings } from '../../pulls/index.js';
import type { ChangedBesides } from '../../result/index.js';

/** What would settle the question best, most useful first. */
export function nextSteps(facts: {
  readonly verdict: string;
  readonly reasons: readonly VerdictReasonCode[];
  readonly changedBesides: readonly ChangedBesides[];
  readonly difference: PowerDifference | null;
  readonly before: FittedSetup;
  readonly after: FittedSetup;
  readonly outingAssumed: boolean;
}): string[] {
  const { verdict, reasons, changedBesides, difference, before, after, outingAssumed } = facts;
  const steps: string[] = [];
  for (const setup of [before, after]) {
    const few = setup.used.length < 3 ? tooFewReadings(setup) : null;
    if (few !== null) {
      steps.push(`Log ${setup.name} again with engine speed, road speed and pedal alone, or in a higher gear: ${few.words}.`);
    } else if (setup.used.length === 0) {
      steps.push(
        `Log full-load pulls of ${setup.name}: one gear, pedal down, from low engine speed to near the red line, with engine and road speed.`,
      );
    } else if (setup.used.length < 3) {
      steps.push(
        `Log at least three pulls of ${setup.name} in one outing: ${setup.used.length === 1 ? 'one does not show how well pulls repeat' : 'two repeat by luck'}.`,
      );
    }
  }
  if (reasons.includes('CURVE_UNDETERMINED') && steps.length === 0) steps.push(verdictReasons.CURVE_UNDETERMINED.remedy);
  if (reasons.includes('AIR_COULD_EXPLAIN')) steps.push('Log both setups within the hour, so that the air is the same for both.');
  if (outingAssumed)
    steps.push('Go back to the first setup in the same outing as the second (before-after-before): the luck of an outing then cancels.');
  const suspects = changedBesides.filter((change) => change.couldExplain === 'yes' || change.couldExplain === 'partly');
  if (suspects.length > 0) {
    const names = suspects.map((change) => change.quantity.replaceAll('-', ' ')).join(', ');
    steps.push(
      `${after.name} against ${before.name}: ${names} changed too and could explain it. If the part is meant to change that, this is how it works; if not, make it equal and log again.`,
    );
  }
  if (verdict === 'no clear change' && difference !== null && !difference.identical && difference.parts.length > 0) {
    steps.push(`The band rests mostly on ${difference.parts[0]!.name}: that is what to improve first.`);
  }
  if (verdict === 'gain' && suspects.length === 0)
    steps.push('Send the logs to the tuner with this report; check mixture and knock before more load.');
  if (verdict === 'loss') steps.push(`${after.name} makes less than ${before.name}: find the cause before more pulls with it.`);
  return steps;
}
