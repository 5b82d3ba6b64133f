import { topEndCauses } from '../../boost/index.js';
import type { OverallResult, TopEndAnalysis, TopEndResult } from '../../result/index.js';
import { withoutPulls } from './withoutPulls.js';

/**
 * The top end as it may stand beside the verdicts of the same trial: where a comparison cannot tell whether power changed, nothing is said
 * about where the change falls; and where a warning says stop for a setup, or its knock control acts, no further pull is asked for.
 *
 * @param result of the analyses by themselves
 * @param overall verdicts, in the order of its comparisons
 * @param warned setups that a warning says stop for
 */
export function topEndBesideVerdict(
  result: TopEndResult,
  overall: readonly OverallResult[],
  warned: ReadonlySet<string> = new Set(),
): TopEndResult {
  const rests = (analysis: TopEndAnalysis): boolean =>
    warned.has(analysis.after) || (analysis.before !== null && warned.has(analysis.before)) || knockActs(analysis);
  const spared = (analysis: TopEndAnalysis): TopEndAnalysis => (rests(analysis) ? withoutPulls(analysis) : analysis);
  return {
    setups: result.setups.map(spared),
    comparisons: result.comparisons.map((analysis, i) => {
      const { verdict, next } = overall[i]!;
      return verdict === 'cannot tell' && analysis.causes.length > 0
        ? withheld(analysis, rests(analysis) ? [settleFirst] : next)
        : spared(analysis);
    }),
  };
}

const settleFirst = 'Before another pull, settle what the warnings name: octane, mixture, charge temperature, timing.';

function withheld(analysis: TopEndAnalysis, next: readonly string[]): TopEndAnalysis {
  const steps = next.length > 0 ? next : [topEndCauses['too-few-data'].proof];
  return {
    ...analysis,
    fade: { ...analysis.fade, kind: 'unclear' },
    answer: 'too few data',
    sentence: `The comparison cannot tell whether power changed, so neither whether a change of it falls towards the top. To tell: ${steps[0]}`,
    leading: ['too-few-data'],
    causes: [],
    leftOut: [],
    next: steps,
  };
}

/** Timing that the knock control pulls at the top counts from here; common practice, no source. */
const leastRetardDeg = 1;

function knockActs({ observations }: TopEndAnalysis): boolean {
  return observations.some(
    ({ id, after, before }) => id === 'knock-retard' && Math.max(after.top ?? 0, before?.top ?? 0) >= leastRetardDeg,
  );
}
