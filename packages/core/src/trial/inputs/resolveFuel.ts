import { blendStoichAfr } from '../../fuel/index.js';
import type { FuelTypeFile } from '../file/trialFile.js';
import type { AssumptionLedger } from './assumptions.js';
import { enteredSpread } from './defaults.js';
import type { StatedNumber } from './inputs.js';

/** Stoichiometric air-fuel ratio of a run's fuel. */
export function resolveStoich(fuelType: FuelTypeFile | undefined, log: string, assumed: AssumptionLedger): StatedNumber {
  const afr = fuelType?.['stoich-afr'];
  if (afr !== undefined) {
    return { value: afr, spread: enteredSpread('stoich', afr), standing: 'entered', source: `fuel-type.stoich-afr: ${afr}` };
  }
  const ethanol = fuelType?.ethanol;
  if (ethanol === undefined) return assumed.assume('stoich', log);
  const value = blendStoichAfr(ethanol.si);
  const step = enteredSpread('ethanol', ethanol.si);
  const low = Math.max(0, ethanol.si - step);
  const high = Math.min(1, ethanol.si + step);
  const perShare = (blendStoichAfr(high) - blendStoichAfr(low)) / (high - low);
  return {
    value,
    spread: Math.hypot(enteredSpread('stoich', value), perShare * step),
    standing: 'entered',
    source: `fuel-type.ethanol: ${ethanol.text}`,
  };
}
