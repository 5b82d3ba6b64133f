import { PullproofError } from '../findings/index.js';

/** Atoms of each kind in a molecule, or in the mean molecule of a blend. */
export interface FuelFormula {
  readonly carbon: number;
  readonly hydrogen: number;
  readonly oxygen?: number;
}

/**
 * Air-fuel ratio by mass at which a fuel and the oxygen of the air use each other up.
 *
 * (A/F)_s = (c + h/4 − o/2) (M_air/x_O₂) / (12.011 c + 1.008 h + 15.999 o), M_air 28.96 g/mol, x_O₂ 0.2095
 *
 * @param formula atoms of carbon, hydrogen and oxygen
 * @returns kg of air for a kg of fuel
 * @throws E_FUEL_FORMULA when it needs no oxygen or holds no mass
 *
 * Source: Heywood, Internal Combustion Engine Fundamentals (1988), eq. 3.6 (number from memory), with oxygen in the fuel [HEYWOOD1988].
 *
 * @example
 * ```ts
 * import { stoichAfrOfFormula } from '@pullproof/core';
 *
 * stoichAfrOfFormula({ carbon: 8, hydrogen: 18 }).toFixed(2); // => '15.13'
 * ```
 */
export function stoichAfrOfFormula(formula: FuelFormula): number {
  const { carbon, hydrogen, oxygen = 0 } = formula;
  const air = ((carbon + hydrogen / 4 - oxygen / 2) * 28.96) / 0.2095;
  const fuel = 12.011 * carbon + 1.008 * hydrogen + 15.999 * oxygen;
  if (!(air > 0) || !(fuel > 0)) {
    throw new PullproofError(
      'E_FUEL_FORMULA',
      `C${carbon} H${hydrogen} O${oxygen} is no fuel.`,
      {},
      'Give the atoms of a molecule that burns, for example 8, 18, 0.',
    );
  }
  return air / fuel;
}

/** Options of {@link blendStoichAfr}. */
export interface BlendOptions {
  /** Of the petrol. Default 14.6. */
  readonly petrolStoichAfr?: number;
  /** Default 745. */
  readonly petrolDensityKgPerM3?: number;
  /** Default 789. */
  readonly ethanolDensityKgPerM3?: number;
}

/**
 * Stoichiometric air-fuel ratio of petrol with ethanol.
 *
 * w = E ρ_e/(E ρ_e + (1 − E) ρ_g), (A/F)_s = w · 9.00 + (1 − w) · AFR_g
 *
 * @param ethanolShare by volume, 0–1
 * @returns kg of air for a kg of blend
 * @throws E_SHARE outside 0 to 1
 *
 * Validity: pump "E85" may hold 51–83 % ethanol (ASTM D5798, from memory): measure it.
 *
 * Source: [DOE-AFDC] for 9.00 and the densities.
 *
 * @example
 * ```ts
 * import { blendStoichAfr } from '@pullproof/core';
 *
 * blendStoichAfr(0.85).toFixed(1); // => '9.8'
 * ```
 */
export function blendStoichAfr(ethanolShare: number, options: BlendOptions = {}): number {
  const { petrolStoichAfr = 14.6, petrolDensityKgPerM3 = 745, ethanolDensityKgPerM3 = 789 } = options;
  if (!(ethanolShare >= 0 && ethanolShare <= 1)) {
    throw new PullproofError('E_SHARE', `An ethanol share of ${ethanolShare} is not between 0 and 1.`, {}, 'Give a share by volume, 0–1.');
  }
  const ethanolKg = ethanolShare * ethanolDensityKgPerM3;
  const byMass = ethanolKg / (ethanolKg + (1 - ethanolShare) * petrolDensityKgPerM3);
  return byMass * 9 + (1 - byMass) * petrolStoichAfr;
}
