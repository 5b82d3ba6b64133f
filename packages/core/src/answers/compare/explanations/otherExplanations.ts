import type { Explanation, PowerDifference } from '../../../compare/index.js';
import type { FittedSetup } from '../../../pulls/index.js';
import { enteredMass } from './enteredMass.js';
import { enteredRoad } from './enteredRoad.js';
import { estimatorsApart } from './estimatorsApart.js';
import { gearAndStart } from './gearAndStart.js';
import { heat } from './heat.js';
import { opening } from './opening.js';
import { size } from './size.js';
import { slip } from './slip.js';
import { speedScale } from './speedScale.js';
import { unenteredRoad } from './unenteredRoad.js';

/** Everything besides the air that could have made a difference, one file a kind. */
export function otherExplanations(
  before: FittedSetup,
  after: FittedSetup,
  difference: PowerDifference,
  options: {
    readonly units: 'metric' | 'imperial';
    /** Why a difference beyond usual parts is expected; null where the trial says nothing of it. */
    readonly expectedLarge: string | null;
  },
): Explanation[] {
  return [
    ...size(before, after, difference, options),
    ...heat(before, after, difference, options),
    ...enteredRoad(before, after, difference, options),
    ...unenteredRoad(before, after, difference),
    ...enteredMass(before, after, difference, options),
    ...estimatorsApart(before, after, difference),
    ...gearAndStart(before, after, difference),
    ...slip(before, after, difference),
    ...speedScale(before, after, difference),
    ...opening(before, after, difference),
  ];
}
