import type { Explanation, PowerDifference } from '../../../compare/index.js';
import type { FittedSetup } from '../../../pulls/index.js';

/** Everything besides the air that could have made a difference, one file a kind. */
export function otherExplanations(_before: FittedSetup, _after: FittedSetup, _difference: PowerDifference): Explanation[] {
  return [];
}
