import type { PowerDifference } from './difference.js';
import { leastPoints, type OpenRange } from './regions.js';

/**
 * Something that could have moved the difference of two setups without the part that was changed: what it could have made of it along the
 * engine speeds of the difference. ±Infinity where nothing can be claimed at all.
 */
export interface Explanation {
  /** Stable name, such as `air` or `wind not entered`. */
  readonly name: string;
  readonly standing: 'measured' | 'entered' | 'assumed';
  /** What it is, as the rest of a sentence after "because" or "but". */
  readonly sentence: string;
  /** What would settle it, starting with a verb. */
  readonly settle: string;
  readonly lowW: Float64Array;
  readonly highW: Float64Array;
}

/** What an explanation does to a claim: takes one away by itself, does so together with others, may hide a change, or neither. */
export type ExplanationEffect = 'takes away' | 'takes away with others' | 'may hide' | 'note';

/**
 * Explanations together: what each has surely made adds up; what each may have made beyond that is independent, and adds in quadrature.
 *
 * @param explanations on the grid of one difference
 * @param points of that grid
 * @returns lowest and highest, W; never narrower than any of them, and always with zero inside
 */
export function combined(explanations: readonly OpenRange[], points: number): OpenRange {
  const lowW = new Float64Array(points);
  const highW = new Float64Array(points);
  for (let i = 0; i < points; i++) {
    highW[i] = oneSide(explanations.map((one) => ({ least: one.lowW[i]!, most: one.highW[i]! })));
    lowW[i] = -oneSide(explanations.map((one) => ({ least: -one.highW[i]!, most: -one.lowW[i]! })));
  }
  return { lowW, highW };
}

/** Upwards only: sure parts added, the rest in quadrature. What is no number counts as boundless: NaN never frees a claim. */
function oneSide(ranges: readonly { readonly least: number; readonly most: number }[]): number {
  let sure = 0;
  let squares = 0;
  for (const { least, most } of ranges) {
    if (Number.isNaN(least) || Number.isNaN(most) || most === Number.POSITIVE_INFINITY) return Number.POSITIVE_INFINITY;
    if (!(most > 0)) continue;
    const own = Math.max(0, least);
    sure += own;
    squares += (most - own) ** 2;
  }
  return sure + Math.sqrt(squares);
}

/** Points of the grid at which the band alone leaves out zero, and the range does not let a gain or a loss be claimed. */
export function takenAway({ differenceW, band }: PowerDifference, { lowW, highW }: OpenRange): boolean[] {
  return Array.from(differenceW, (value, i) => {
    const half = band.simultaneous[i]!;
    return (value - half > 0 && !(value - half > highW[i]!)) || (value + half < 0 && !(value + half < lowW[i]!));
  });
}

/** Whether enough neighbouring points are marked to be worth a region. */
function longEnough(marks: readonly boolean[]): boolean {
  let run = 0;
  for (const mark of marks) {
    run = mark ? run + 1 : 0;
    if (run >= leastPoints) return true;
  }
  return false;
}

/** A change that hides must be worth having: 1.5 % of power. Common practice, no source. */
const worthHaving = 0.015;

/**
 * Whether a known or possible change could hide a gain or a loss: over at least half of the engine speeds at which nothing is claimed it
 * reaches further than the band, and further than is worth having.
 *
 * @returns which of the two it may hide; null for neither
 */
export function mayHide(difference: PowerDifference, range: OpenRange): 'gain' | 'loss' | 'either' | null {
  const { differenceW, beforeW, band } = difference;
  let gain = 0;
  let loss = 0;
  let quiet = 0;
  differenceW.forEach((value, i) => {
    const half = band.simultaneous[i]!;
    if (!Number.isFinite(value) || !Number.isFinite(half) || Math.abs(value) > half) return;
    quiet++;
    const least = Math.max(half, worthHaving * beforeW[i]!);
    if (-range.lowW[i]! > least) gain++;
    if (range.highW[i]! > least) loss++;
  });
  const [hidesGain, hidesLoss] = [gain, loss].map((count) => quiet > 0 && count >= quiet / 2);
  return hidesGain && hidesLoss ? 'either' : hidesGain ? 'gain' : hidesLoss ? 'loss' : null;
}

/**
 * What each explanation does to the answer.
 *
 * @returns one a name, in their order
 */
export function explanationEffects(difference: PowerDifference, explanations: readonly Explanation[]): ExplanationEffect[] {
  const together = takenAway(difference, combined(explanations, difference.differenceW.length));
  const singly = explanations.map((one) => longEnough(takenAway(difference, one)));
  const onlyTogether = longEnough(together) && !singly.includes(true);
  const most = onlyTogether ? Math.max(...explanations.map((one) => reach(one, together))) : 0;
  return explanations.map((one, k) => {
    if (singly[k]) return 'takes away';
    // What is small beside the largest has no part in it.
    if (onlyTogether && reach(one, together) > most / 3) return 'takes away with others';
    return mayHide(difference, one) === null ? 'note' : 'may hide';
  });
}

/** Mean size of an explanation over the marked points. */
function reach({ lowW, highW }: OpenRange, marks: readonly boolean[]): number {
  let sum = 0;
  let count = 0;
  marks.forEach((mark, i) => {
    if (!mark) return;
    sum += Math.max(Math.abs(lowW[i]!), Math.abs(highW[i]!));
    count++;
  });
  return count === 0 ? 0 : sum / count;
}

/**
 * Smallest change that could be claimed, W: half-width of the band and the reach of the explanations, in the middle of all engine speeds.
 *
 * @returns null where nothing could be claimed
 */
export function smallestClaimW({ band, differenceW }: PowerDifference, open: OpenRange): number | null {
  const least = Float64Array.from(differenceW, (_, i) => band.simultaneous[i]! + Math.max(open.highW[i]!, -open.lowW[i]!)).sort();
  const middle = least[least.length >> 1];
  return middle !== undefined && Number.isFinite(middle) ? middle : null;
}
