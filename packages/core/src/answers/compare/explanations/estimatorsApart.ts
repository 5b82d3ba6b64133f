import type { Explanation, PowerDifference } from '../../../compare/index.js';
import type { FittedSetup } from '../../../pulls/index.js';
import { numberText, rpmText } from '../../../units/index.js';

/**
 * Two ways of working out the power of a setup that lie apart by more than the margins of both: the difference may hold as much that is
 * neither's power, where they do.
 */
export function estimatorsApart(before: FittedSetup, after: FittedSetup, difference: PowerDifference): Explanation[] {
  return [before, after].flatMap((setup, place): Explanation[] => {
    const apart = setup.estimator?.disagreement ?? null;
    if (apart === null) return [];
    const { fromRpm, toRpm, largestShare } = apart;
    // Were the slopes right, the fit of this setup would be off by so much the other way.
    const sign = place === 1 ? -1 : 1;
    const made = difference.engineSpeedRpm.map((rpm, i) =>
      rpm >= fromRpm && rpm <= toRpm ? sign * largestShare * difference.beforeW[i]! : 0,
    );
    return [
      {
        name: `estimates of ${setup.name}`,
        standing: 'measured',
        sentence: `two ways of working out the power of ${setup.name} differ by up to ${numberText(100 * Math.abs(largestShare), 1)}% from ${numberText(fromRpm, 0)} to ${rpmText(toRpm)}, more than their margins`,
        settle: 'Look at that rpm range in the pulls as recorded for a slip, a gust, a cut or a bump, and log more often or more pulls.',
        lowW: made.map((value) => Math.min(0, value)),
        highW: made.map((value) => Math.max(0, value)),
      },
    ];
  });
}
