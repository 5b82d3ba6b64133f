import { PullproofError } from '../findings/index.js';

/** Of dry air, J/(kg K). Source: R/M with M = 28.9652 g/mol. */
const airGasConstantJPerKgK = 287.05;

/** What a four-stroke engine takes in, by what is in its manifold. */
export interface ManifoldAir {
  /** Referred to the density in the manifold, not in the open air: mixing the two counts boost twice. */
  readonly volumetricEfficiency: number;
  readonly displacementM3: number;
  readonly engineSpeedRpm: number;
  /** Absolute. */
  readonly manifoldPressurePa: number;
  /** At the ports. */
  readonly chargeTemperatureK: number;
}

/**
 * Air that a four-stroke engine takes in, by speed and density.
 *
 * ṁ = VE V_d (N/120) p/(R T)
 *
 * @param air volumetric efficiency, displacement, engine speed, absolute pressure and temperature in the manifold
 * @returns kg/s; NaN where speed, pressure or temperature is
 * @throws E_AIR_FLOW for an efficiency or displacement that is not above zero
 *
 * Validity: quasi-steady. A sensor before the charge cooler, or one soaked with heat, biases T by 5 to 30 K, 2 to 10 % of the mass.
 *
 * Source: [HEYWOOD1988] section 2.10 (from memory).
 *
 * @example
 * ```ts
 * import { airFlowBySpeedAndDensity } from '@pullproof/core';
 *
 * const air = { volumetricEfficiency: 0.95, displacementM3: 0.005, engineSpeedRpm: 6000, manifoldPressurePa: 170e3, chargeTemperatureK: 330 };
 * airFlowBySpeedAndDensity(air).toFixed(4); // => '0.4262'
 * ```
 */
export function airFlowBySpeedAndDensity(air: ManifoldAir): number {
  const { volumetricEfficiency, displacementM3, engineSpeedRpm, manifoldPressurePa, chargeTemperatureK } = air;
  if (!(volumetricEfficiency > 0) || !(displacementM3 > 0)) {
    throw new PullproofError(
      'E_AIR_FLOW',
      `No engine has a displacement of ${displacementM3} m³ with a volumetric efficiency of ${volumetricEfficiency}.`,
      {},
      'Give both above zero: the efficiency as a share of 1.',
    );
  }
  const perTurnM3 = (volumetricEfficiency * displacementM3) / 2;
  return ((perTurnM3 * engineSpeedRpm) / 60) * (manifoldPressurePa / (airGasConstantJPerKgK * chargeTemperatureK));
}
