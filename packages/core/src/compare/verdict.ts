import type { AirShare } from './air.js';
import type { PowerDifference } from './difference.js';
import { leastPoints, type VerdictRegion } from './regions.js';
import { uselessShare, type VerdictReasonCode } from './verdictReasons.js';

export type OverallVerdict = 'gain' | 'loss' | 'mixed' | 'no clear change' | 'cannot tell';

/**
 * One verdict for a whole comparison, with its reasons.
 *
 * @param difference Difference with band; null where there is none.
 * @param regions From `verdictRegions`.
 * @param facts What the verdict must bow to.
 */
export function overallVerdict(
  difference: PowerDifference | null,
  regions: readonly VerdictRegion[],
  air: AirShare | null,
  facts: {
    readonly missingPulls: boolean;
    readonly repeatabilityKnown: boolean;
    readonly outingAssumed: boolean;
    readonly speedInDoubt: boolean;
  },
): { readonly verdict: OverallVerdict; readonly reasons: readonly VerdictReasonCode[] } {
  if (facts.missingPulls) return { verdict: 'cannot tell', reasons: ['NO_PULLS'] };
  if (difference === null || air === null) return { verdict: 'cannot tell', reasons: ['NO_OVERLAP'] };
  if (difference.identical) return { verdict: 'no clear change', reasons: ['SAME_FILE'] };
  const reasons: VerdictReasonCode[] = [];
  if (facts.outingAssumed) reasons.push('OUTING_ASSUMED');
  if (facts.speedInDoubt) return { verdict: 'cannot tell', reasons: ['SPEED_IN_DOUBT', ...reasons] };
  if (!facts.repeatabilityKnown) return { verdict: 'cannot tell', reasons: ['REPEATABILITY_UNKNOWN', ...reasons] };
  const gain = regions.some((region) => region.verdict === 'gain');
  const loss = regions.some((region) => region.verdict === 'loss');
  if (gain && loss) return { verdict: 'mixed', reasons };
  if (gain) return { verdict: 'gain', reasons };
  if (loss) return { verdict: 'loss', reasons };
  if (airExplains(difference, air)) return { verdict: 'no clear change', reasons: ['AIR_COULD_EXPLAIN', ...reasons] };
  const halves = difference.band.simultaneous.map((half, i) => half / difference.beforeW[i]!).sort();
  if (!(halves[halves.length >> 1]! <= uselessShare)) return { verdict: 'cannot tell', reasons: ['BAND_TOO_WIDE', ...reasons] };
  return { verdict: 'no clear change', reasons };
}

/** True where the band alone would have been clear of zero somewhere, and only the air stands in the way. */
function airExplains(difference: PowerDifference, air: AirShare): boolean {
  let run = 0;
  for (let i = 0; i < difference.differenceW.length; i++) {
    const value = difference.differenceW[i]!;
    const half = difference.band.simultaneous[i]!;
    const byAir = (value - half > 0 && value - half <= air.highW[i]!) || (value + half < 0 && value + half >= air.lowW[i]!);
    run = byAir ? run + 1 : 0;
    if (run >= leastPoints) return true;
  }
  return false;
}
