import { drawnPower, type PullPoint } from '../../power/index.js';
import type { BudgetCheck } from '../../result/index.js';
import { propagateByDraws, propagateFirstOrder } from '../../uncertainty/index.js';

/** Share of the spread by which first order and draws may differ. */
const agreement = 0.05;

/**
 * Holds the first-order spread of a mean power against draws of all its inputs, and says which input or pair of inputs makes the difference.
 *
 * @param points The pulls at one engine speed.
 *
 * Source: JCGM 101:2008, clause 8, with a share of the spread in place of its digits.
 */
export function checkByDraws(points: readonly PullPoint[]): BudgetCheck {
  const { keys, meanW } = drawnPower(points);
  const inputs = keys.map(() => ({ value: 0, spread: 1 }));
  const first = propagateFirstOrder(meanW, inputs);
  const drawn = propagateByDraws(meanW, inputs, { draws: 10_000 });
  const shiftW = drawn.mean - first.value;
  const agrees = Math.abs(drawn.spread / first.spread - 1) <= agreement && Math.abs(shiftW) <= agreement * first.spread;
  return {
    firstOrderW: first.spread,
    drawnW: drawn.spread,
    shiftW,
    agrees,
    reason: agrees ? null : reasonOf(keys, meanW, first.value, shiftW),
  };
}

/** The term of second order that is largest: the square of one input, or the product of two. */
function reasonOf(keys: readonly string[], meanW: (offsets: readonly number[]) => number, valueW: number, shiftW: number): string {
  const moved = (...which: readonly (readonly [place: number, to: number])[]): number =>
    meanW(keys.map((_, i) => which.find(([place]) => place === i)?.[1] ?? 0));
  const nameOf = (place: number): string => keys[place]!.split('|')[0]!;
  const squares = keys.map((_, k) => ({ names: [nameOf(k)], sizeW: (moved([k, 1]) + moved([k, -1])) / 2 - valueW }));
  const products = keys.flatMap((_, k) =>
    keys.slice(0, k).map((_key, j) => ({
      names: [nameOf(j), nameOf(k)],
      sizeW: (moved([j, 1], [k, 1]) - moved([j, 1], [k, -1]) - moved([j, -1], [k, 1]) + moved([j, -1], [k, -1])) / 4,
    })),
  );
  // The square of a standard normal number has the variance 2, the product of two of them 1.
  const weight = ({ names, sizeW }: { readonly names: readonly string[]; readonly sizeW: number }): number =>
    Math.abs(sizeW) * (names.length === 1 ? Math.SQRT2 : 1);
  const largest = [...squares, ...products].reduce((most, term) => (weight(term) > weight(most) ? term : most));
  const [one, other] = largest.names;
  if (other === undefined) {
    return `${one} does not act in a straight line over its uncertainty (its square alone moves the mean by ${largest.sizeW.toFixed(0)} W of ${shiftW.toFixed(0)} W); the band takes the straight line.`;
  }
  return `${one} and ${other} act through each other (their product alone spreads the power by ${Math.abs(largest.sizeW).toFixed(0)} W); the band takes each by itself.`;
}
