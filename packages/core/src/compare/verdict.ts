import type { PowerDifference } from './difference.js';
import { combined, type Explanation, explanationEffects, takenAway } from './explanation.js';
import type { VerdictRegion } from './regions.js';
import { uselessShare, type VerdictReasonCode } from './verdictReasons.js';

export type OverallVerdict = 'gain' | 'loss' | 'mixed' | 'no clear change' | 'cannot tell';

/**
 * One verdict for a whole comparison, with its reasons.
 *
 * @param difference Difference with band; null where there is none.
 * @param regions From `verdictRegions`, with what the explanations could have made together.
 * @param explanations What else could have made the difference; the air among them.
 * @param facts What the verdict must bow to.
 */
export function overallVerdict(
  difference: PowerDifference | null,
  regions: readonly VerdictRegion[],
  explanations: readonly Explanation[],
  facts: {
    readonly missingPulls: boolean;
    /** Whether the readings of a setup's pulls determine no curve. */
    readonly undetermined?: boolean;
    readonly repeatabilityKnown: boolean;
    readonly outingAssumed: boolean;
    readonly speedInDoubt: boolean;
    readonly weatherUnknown: boolean;
    /** Whether two sources that contradict each other are worth more than what would be claimed. */
    readonly contradicted: boolean;
  },
): { readonly verdict: OverallVerdict; readonly reasons: readonly VerdictReasonCode[] } {
  if (facts.missingPulls) return { verdict: 'cannot tell', reasons: ['NO_PULLS'] };
  if (difference === null) return { verdict: 'cannot tell', reasons: [facts.undetermined === true ? 'CURVE_UNDETERMINED' : 'NO_OVERLAP'] };
  if (difference.identical) return { verdict: 'no clear change', reasons: ['SAME_FILE'] };
  const reasons: VerdictReasonCode[] = [];
  if (facts.outingAssumed) reasons.push('OUTING_ASSUMED');
  if (facts.speedInDoubt) return { verdict: 'cannot tell', reasons: ['SPEED_IN_DOUBT', ...reasons] };
  if (facts.contradicted) return { verdict: 'cannot tell', reasons: ['CONTRADICTION', ...reasons] };
  if (!facts.repeatabilityKnown) return { verdict: 'cannot tell', reasons: ['REPEATABILITY_UNKNOWN', ...reasons] };
  const effects = explanationEffects(difference, explanations);
  const taking = explanations.filter((_, k) => effects[k]!.startsWith('takes away'));
  const partly: VerdictReasonCode[] = taking.some(({ name }) => name !== 'air') ? ['OTHER_CHANGE_COULD_EXPLAIN'] : [];
  // What is left of a claim where something else covers most of it is no claim either: nobody knows such a range to the last watt.
  const leftOver = mostlyTaken(
    difference,
    explanations.filter(({ name }) => name !== 'air'),
  );
  const gain = !leftOver && regions.some((region) => region.verdict === 'gain');
  const loss = !leftOver && regions.some((region) => region.verdict === 'loss');
  if (gain && loss) return { verdict: 'mixed', reasons: [...partly, ...reasons] };
  if (gain) return { verdict: 'gain', reasons: [...partly, ...reasons] };
  if (loss) return { verdict: 'loss', reasons: [...partly, ...reasons] };
  if (taking.length > 0) {
    const air: VerdictReasonCode[] = taking.some(({ name }) => name === 'air') ? ['AIR_COULD_EXPLAIN'] : [];
    const others: VerdictReasonCode[] = taking.some(({ name }) => name !== 'air') ? ['OTHER_CHANGE_COULD_EXPLAIN'] : [];
    if (facts.weatherUnknown && air.length > 0)
      return { verdict: 'cannot tell', reasons: ['WEATHER_UNKNOWN', ...air, ...others, ...reasons] };
    if (others.length > 0) return { verdict: 'cannot tell', reasons: [...others, ...air, ...reasons] };
    return { verdict: 'no clear change', reasons: [...air, ...reasons] };
  }
  const open = combined(explanations, difference.differenceW.length);
  const reach = open.highW.map((high, i) => Math.max(high, -open.lowW[i]!));
  if (!(middleShare(difference, null) <= uselessShare)) return { verdict: 'cannot tell', reasons: ['BAND_TOO_WIDE', ...reasons] };
  const hiding = explanations.filter((_, k) => effects[k] === 'may hide');
  if (hiding.length === 0) return { verdict: 'no clear change', reasons };
  const hidden: VerdictReasonCode[] = ['MAY_HIDE_A_CHANGE', ...reasons];
  if (facts.weatherUnknown && hiding.some(({ name }) => name === 'air')) {
    return { verdict: 'cannot tell', reasons: ['WEATHER_UNKNOWN', ...hidden] };
  }
  // A known change of the air is told beside the verdict; of anything else this wide nothing can be said.
  const useless = !(middleShare(difference, reach) <= uselessShare) && hiding.some(({ name }) => name !== 'air');
  return { verdict: useless ? 'cannot tell' : 'no clear change', reasons: hidden };
}

/** Whether explanations take away at least half of the engine speeds at which the band alone leaves out zero. */
function mostlyTaken(difference: PowerDifference, explanations: readonly Explanation[]): boolean {
  const { differenceW, band } = difference;
  const taken = takenAway(difference, combined(explanations, differenceW.length)).filter(Boolean).length;
  const clear = differenceW.filter((value, i) => Math.abs(value) > band.simultaneous[i]!).length;
  return taken > 0 && taken >= clear / 2;
}

/** Half-width of the band, with what else may hide in it, as a share of power in the middle of all engine speeds. */
function middleShare({ band, beforeW }: PowerDifference, reach: Float64Array | null): number {
  const shares = band.simultaneous.map((half, i) => (half + (reach?.[i] ?? 0)) / beforeW[i]!).sort();
  return shares[shares.length >> 1]!;
}
