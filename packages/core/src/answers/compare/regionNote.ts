import type { VerdictRegion } from '../../compare/index.js';
import { numberText, rpmText } from '../../units/index.js';

/**
 * What to know about a region whose mean lies clear of zero while nothing is claimed there.
 *
 * @param regions of one comparison
 * @returns a sentence for people; null where no region is like that
 *
 * @example
 * ```ts
 * import { regionNote } from '@pullproof/core';
 * const region = { fromRpm: 2550, toRpm: 4950, meanW: 1600, meanShare: 0.013, clearFromRpm: 2550, clearToRpm: 4950 };
 * regionNote([{ ...region, verdict: 'no clear change', lowW: 800, highW: 2400 }])?.startsWith('The mean from 2,550 to 4,950 rpm'); // => true
 * regionNote([{ ...region, verdict: 'no clear change', lowW: -800, highW: 4000 }]); // => null
 * ```
 */
export function regionNote(regions: readonly VerdictRegion[]): string | null {
  const clear = regions.filter(({ verdict, lowW, highW }) => verdict === 'no clear change' && lowW * highW > 0);
  if (clear.length === 0) return null;
  const where = clear.map(({ fromRpm, toRpm }) => `${numberText(fromRpm, 0)} to ${rpmText(toRpm)}`).join(' and ');
  return `The mean from ${where} lies clear of zero, but the curve does not: there the band of the whole curve, or what the air could have done, takes in zero, and nothing is claimed.`;
}
