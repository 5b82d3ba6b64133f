import type { Explanation, PowerDifference } from '../../../compare/index.js';
import type { FittedSetup, TrialPull } from '../../../pulls/index.js';
import { numberText } from '../../../units/index.js';
import { meanEffectW, meanOfPulls, rangeOf } from './pullMeans.js';

/** Means that differ less are not worth a word, kg. */
const leastKg = 1;

const items = ['fuel', 'driver', 'cargo', 'car'];

/**
 * Parts of the weight that were entered differently for the two setups. Had one been the same in truth, a slip of the pen would have made
 * as much power of it.
 */
export function enteredMass(
  before: FittedSetup,
  after: FittedSetup,
  difference: PowerDifference,
  options: { readonly units: 'metric' | 'imperial' },
): Explanation[] {
  return items.flatMap((item): Explanation[] => {
    const kg = ({ run }: TrialPull): number =>
      run.inputs.ledger.filter((line) => line.item.startsWith(item)).reduce((sum, { massKg }) => sum + massKg, 0);
    const [first, second] = [before, after].map((setup) => meanOfPulls(setup, kg));
    if (!(Math.abs(second! - first!) >= leastKg)) return [];
    const common = (first! + second!) / 2;
    const [early, late] = [before, after].map((setup) => meanEffectW(setup, difference, 'mass', (pull) => kg(pull) - common));
    const shown = (value: number): string =>
      options.units === 'imperial' ? `${numberText(value / 0.45359237, 0)} lb` : `${numberText(value, 0)} kg`;
    return [
      {
        name: `${item} as entered`,
        standing: 'entered',
        sentence: `the ${item === 'car' ? 'weight of the car' : `weight of ${item === 'driver' ? 'the driver' : item}`} was entered as ${shown(first!)} before and ${shown(second!)} after`,
        settle: `Check ${item === 'fuel' ? 'fuel-in-tank' : item} of every run, number and unit.`,
        ...rangeOf([late!.map((value, i) => value - early![i]!)], difference.differenceW.length),
      },
    ];
  });
}
