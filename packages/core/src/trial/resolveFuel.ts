import type { AssumptionLedger } from './assumptions.js';
import { enteredSpread } from './defaults.js';
import type { StatedNumber } from './inputs.js';
import type { FuelTypeFile } from './trialFile.js';

/** Stoichiometric air-fuel ratio and density of the two components of pump fuel. */
const petrolAfr = 14.6;
const ethanolAfr = 9.0;
const petrolKgPerL = 0.745;
const ethanolKgPerL = 0.789;

/**
 * Stoichiometric air-fuel ratio of petrol with a share of ethanol: by mass of the two, w = E ρ_e/(E ρ_e + (1 − E) ρ_g), w · 9.00 + (1 − w) · 14.6.
 *
 * @param ethanolShare by volume, 0–1
 * @returns air-fuel ratio by mass
 *
 * Source: [DOE-AFDC] fuel properties (ethanol 9, petrol 14.7 "calculated"; 14.6 for CH1.87 by balance), densities 0.789 and 0.745 kg/L.
 * Uncertainty: petrol itself varies by ±0.1.
 *
 * @example
 * ```ts
 * import { stoichAfrOfBlend } from '@pullproof/core';
 * stoichAfrOfBlend(0.1).toFixed(3); // => '14.010'
 * ```
 */
export function stoichAfrOfBlend(ethanolShare: number): number {
  const ethanolMass = ethanolShare * ethanolKgPerL;
  const share = ethanolMass / (ethanolMass + (1 - ethanolShare) * petrolKgPerL);
  return share * ethanolAfr + (1 - share) * petrolAfr;
}

/** Stoichiometric air-fuel ratio of a run's fuel. */
export function resolveStoich(fuelType: FuelTypeFile | undefined, log: string, assumed: AssumptionLedger): StatedNumber {
  const afr = fuelType?.['stoich-afr'];
  if (afr !== undefined)
    return { value: afr, spread: enteredSpread('stoich', afr), standing: 'entered', source: `fuel-type.stoich-afr: ${afr}` };
  const ethanol = fuelType?.ethanol;
  if (ethanol === undefined) return assumed.assume('stoich', log);
  const halfStep = enteredSpread('ethanol', ethanol.si);
  const slope = (stoichAfrOfBlend(Math.min(1, ethanol.si + halfStep)) - stoichAfrOfBlend(Math.max(0, ethanol.si - halfStep))) / 2;
  return {
    value: stoichAfrOfBlend(ethanol.si),
    spread: Math.hypot(enteredSpread('stoich', petrolAfr), slope),
    standing: 'entered',
    source: `fuel-type.ethanol: ${ethanol.text}`,
  };
}
