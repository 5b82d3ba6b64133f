import type { PowerDifference, VerdictRegion } from '../../compare/index.js';
import type { Contradiction } from '../../result/index.js';

/** Power that is off by more, even in both setups alike, makes no number worth saying. Common practice, no source. */
const mostShared = 0.15;
/** A contradiction that makes less of a claim leaves it standing. Common practice, no source. */
const partOfClaim = 0.3;

/** What of the difference a contradiction could have made, as a share of power. */
function ofDifference({ effects }: Contradiction, before: string, after: string): { readonly difference: number; readonly both: number } {
  const share = (name: string): number => effects.find(({ setup }) => setup === name)?.share ?? 0;
  return { difference: Math.abs(share(after) - share(before)), both: Math.max(Math.abs(share(after)), Math.abs(share(before))) };
}

/**
 * Contradictions that leave nothing to claim of a pair: worth more than the band and than a good part of what would be claimed, or power
 * off by more than a seventh in both.
 *
 * @returns those, the largest first
 */
export function contradictionBlocks(
  contradictions: readonly Contradiction[],
  pair: { readonly before: string; readonly after: string },
  difference: PowerDifference | null,
  regions: readonly VerdictRegion[],
): Contradiction[] {
  const claimed = Math.max(
    0,
    ...regions.filter(({ verdict }) => verdict !== 'no clear change').map(({ meanShare }) => Math.abs(meanShare)),
  );
  const halves = difference === null ? null : difference.band.simultaneous.map((half, i) => half / difference.beforeW[i]!).sort();
  const band = halves?.[halves.length >> 1] ?? 0;
  return contradictions
    .map((one) => ({ one, worth: ofDifference(one, pair.before, pair.after) }))
    .filter(({ worth }) => (worth.difference > band && worth.difference > partOfClaim * claimed) || worth.both > mostShared)
    .sort((a, b) => b.worth.both - a.worth.both)
    .map(({ one }) => one);
}

/** A contradiction behind "because". */
export function contradictionBecause({ sources, mistakes }: Contradiction): string {
  const told = sources.map(({ what, shown }) => `${what} is ${shown}`).join(', but ');
  return `${told}; most likely ${mistakes.map(({ sentence }) => sentence).join(', or ')}`;
}
