import type { Explanation, PowerDifference } from '../../../compare/index.js';
import type { Quantity } from '../../../log/index.js';
import { channelOf, type FittedSetup, pullsCurve } from '../../../pulls/index.js';
import { numberText } from '../../../units/index.js';
import { rangeOf } from './pullMeans.js';

/** Openings that differ less are the same pedal on the same stop. */
const least = 0.03;
/** Power follows the opening by at most this much near full; common practice, no source. */
const sharePerOpening = 0.8;

const quantities: readonly (readonly [Quantity, string])[] = [
  ['pedal', 'pedal'],
  ['throttle', 'throttle'],
];

/** A pedal, or without one a throttle, that stood further open in the pulls of one setup than in those of the other. */
export function opening(before: FittedSetup, after: FittedSetup, difference: PowerDifference): Explanation[] {
  for (const [quantity, word] of quantities) {
    const curves = [before, after].map(
      (setup) => pullsCurve(setup.used, channelOf([quantity]), difference.engineSpeedRpm, [], quantity)?.curve.mean ?? null,
    );
    const [first, second] = [curves[0] ?? null, curves[1] ?? null];
    if (first === null || second === null) continue;
    const apart = first.map((value, i) => {
      const change = second[i]! - value;
      return Number.isFinite(change) ? change : 0;
    });
    const mean = apart.reduce((sum, value) => sum + value, 0) / apart.length;
    if (!(Math.abs(mean) >= least)) return [];
    const effectW = apart.map((change, i) => sharePerOpening * change * difference.beforeW[i]!);
    return [
      {
        name: `${word} opening`,
        standing: 'measured',
        sentence: `the ${word} was ${numberText(100 * Math.abs(mean), 0)}% ${mean > 0 ? 'further open' : 'less open'} in the pulls after the change`,
        settle: `Log pulls of both setups with the ${word} fully open.`,
        ...rangeOf([effectW], difference.differenceW.length),
      },
    ];
  }
  return [];
}
