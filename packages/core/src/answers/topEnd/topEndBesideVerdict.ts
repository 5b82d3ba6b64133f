import { topEndCauses } from '../../boost/index.js';
import type { OverallResult, TopEndAnalysis, TopEndResult } from '../../result/index.js';

/** What to do about knock where more pulls are advised against. */
const knockWithoutPulls =
  'Before another pull, check the fuel’s octane, mixture and charge temperature, and have spark or boost reduced there. Do not take the knock control off.';

/**
 * The top end as it may stand beside the verdicts of the same trial: where a comparison cannot tell whether power changed, nothing is said
 * about where the change falls; and where a setup lost power and is advised against, its knock is not tried out with more pulls.
 *
 * @param result of the analyses by themselves
 * @param overall verdicts, in the order of its comparisons
 */
export function topEndBesideVerdict(result: TopEndResult, overall: readonly OverallResult[]): TopEndResult {
  const lost = new Set(overall.filter(({ verdict }) => verdict === 'loss').map(({ after }) => after));
  const spared = (analysis: TopEndAnalysis): TopEndAnalysis => (lost.has(analysis.after) ? withoutKnockPulls(analysis) : analysis);
  return {
    setups: result.setups.map(spared),
    comparisons: result.comparisons.map((analysis, i) => {
      const { verdict, next } = overall[i]!;
      return verdict === 'cannot tell' && analysis.causes.length > 0 ? withheld(analysis, next) : spared(analysis);
    }),
  };
}

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

function withoutKnockPulls(analysis: TopEndAnalysis): TopEndAnalysis {
  const { proof } = topEndCauses['spark-knock'];
  const safe = (step: string): string => (step === proof ? knockWithoutPulls : step);
  return {
    ...analysis,
    causes: analysis.causes.map((cause) => ({ ...cause, wouldDecide: safe(cause.wouldDecide) })),
    next: analysis.next.map(safe),
  };
}
