import type { Finding } from '../../findings/index.js';
import type { FittedSetup, FoundCeiling } from '../../pulls/index.js';
import type { OverallResult, PressureComparison, TopEndResult } from '../../result/index.js';
import { topEndAnalysis } from './topEndAnalysis.js';
import { topEndBesideVerdict } from './topEndBesideVerdict.js';

/** What limits the top end: every setup by itself, and every pair that is compared; a note where a pair fades. */
export function topEnd(
  setups: readonly FittedSetup[],
  pairs: readonly (readonly [before: number, after: number])[],
  options: {
    readonly ceilings: readonly FoundCeiling[];
    readonly pressures: readonly (PressureComparison | null)[];
    readonly units: 'metric' | 'imperial';
    /** Verdicts, in the order of the pairs. */
    readonly overall: readonly OverallResult[];
  },
): { readonly result: TopEndResult; readonly findings: readonly Finding[] } {
  const { ceilings, pressures, units, overall } = options;
  const alone: TopEndResult = {
    setups: setups.map((setup) => topEndAnalysis(setup, null, { ceilings, expectedRatio: null, units })),
    comparisons: pairs.map(([before, after], i) =>
      topEndAnalysis(setups[after]!, setups[before]!, { ceilings, expectedRatio: pressures[i]?.expectedRatio ?? null, units }),
    ),
  };
  const result = topEndBesideVerdict(alone, overall);
  const findings = result.comparisons.flatMap(({ answer, before, after, sentence, next }): Finding[] =>
    answer === 'one cause leads' || answer === 'cannot tell'
      ? [{ code: 'TOP_END', severity: 'note', message: `${before} to ${after}: ${sentence}`, where: { setup: after }, fix: next[0] ?? '' }]
      : [],
  );
  return { result, findings };
}
