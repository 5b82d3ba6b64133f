import type { FittedSetup } from './fittedSetup.js';
import type { FoundCeiling } from './logCeilings.js';
import type { PressureComparison } from './pressureTypes.js';
import { topEndAnalysis } from './topEndAnalysis.js';
import type { TopEndResult } from './topEndTypes.js';

/** What limits the top end: every setup by itself, and every pair that is compared. */
export function topEnd(
  setups: readonly FittedSetup[],
  pairs: readonly (readonly [before: number, after: number])[],
  options: { readonly ceilings: readonly FoundCeiling[]; readonly pressures: readonly (PressureComparison | null)[] },
): TopEndResult {
  const { ceilings, pressures } = options;
  return {
    setups: setups.map((setup) => topEndAnalysis(setup, null, { ceilings, expectedRatio: null })),
    comparisons: pairs.map(([before, after], i) =>
      topEndAnalysis(setups[after]!, setups[before]!, { ceilings, expectedRatio: pressures[i]?.expectedRatio ?? null }),
    ),
  };
}
