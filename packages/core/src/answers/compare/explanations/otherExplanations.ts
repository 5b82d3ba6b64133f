import type { Explanation, PowerDifference } from '../../../compare/index.js';
import type { FittedSetup } from '../../../pulls/index.js';
import { enteredMass } from './enteredMass.js';
import { enteredRoad } from './enteredRoad.js';
import { estimatorsApart } from './estimatorsApart.js';
import { unenteredWind } from './unenteredWind.js';

/** Everything besides the air that could have made a difference, one file a kind. */
export function otherExplanations(
  before: FittedSetup,
  after: FittedSetup,
  difference: PowerDifference,
  options: { readonly units: 'metric' | 'imperial' },
): Explanation[] {
  return [
    ...enteredRoad(before, after, difference, options),
    ...enteredMass(before, after, difference, options),
    ...unenteredWind(before, after, difference),
    ...estimatorsApart(before, after, difference),
  ];
}
