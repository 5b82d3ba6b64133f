import type { Explanation, PowerDifference } from '../../../compare/index.js';
import type { FittedSetup, TrialPull } from '../../../pulls/index.js';
import { numberText } from '../../../units/index.js';
import { meanOfPulls, rangeOf } from './pullMeans.js';

/** Air that differs less changes no timing, K. */
const leastK = 3;
/** Power that a kelvin of hotter air may cost a boosted engine beside its density: charge heat, and timing taken away. Common practice, no source. */
const sharePerK = 0.006;

/** Hotter air costs an engine with boost more than its density: the charge gets hotter, and the knock control takes timing. */
export function heat(
  before: FittedSetup,
  after: FittedSetup,
  difference: PowerDifference,
  options: { readonly units: 'metric' | 'imperial' },
): Explanation[] {
  const pulls = [...before.used, ...after.used];
  const { boostControl } = pulls[0]!.run.inputs;
  const temperature = (pull: TrialPull) => pull.run.inputs.temperatureK;
  // What the weather may have been where nobody entered it is in the air's own range.
  if (boostControl === 'none' || pulls.some((pull) => temperature(pull).standing === 'assumed')) return [];
  const [first, second] = [before, after].map((setup) => meanOfPulls(setup, (pull) => temperature(pull).value));
  const warmerK = second! - first!;
  if (!(Math.abs(warmerK) >= leastK)) return [];
  const shown = options.units === 'imperial' ? `${numberText(1.8 * Math.abs(warmerK), 0)}°F` : `${numberText(Math.abs(warmerK), 0)}°C`;
  return [
    {
      name: 'heat',
      standing: 'entered',
      sentence: `the air was ${shown} ${warmerK > 0 ? 'hotter' : 'cooler'} after the change, which moves timing and charge temperature too`,
      settle: 'Log both setups in the same hour, at the same charge temperature.',
      ...rangeOf([difference.beforeW.map((w) => -sharePerK * warmerK * w)], difference.differenceW.length),
    },
  ];
}
