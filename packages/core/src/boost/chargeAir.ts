import { PullproofError } from '../findings/index.js';

/** Ratio of the heats of air, and its heat capacity near 300 K, J/(kg K). */
const airKappa = 1.4;
const airHeatCapacityJPerKgK = 1005;

/**
 * Temperature of the air that leaves a blower.
 *
 * T₂ = T₁ [1 + (PR^((κ−1)/κ) − 1)/η_ad]
 *
 * @param inletTemperatureK at the blower's inlet
 * @param pressureRatio outlet over inlet pressure, both absolute
 * @param adiabaticEfficiency 0–1; a function of pressure ratio and speed, one value holds near one point
 * @returns K
 * @throws E_BLOWER for a ratio below 1 or an efficiency outside 0 to 1
 *
 * Validity: constant κ is within 0.5 % to a ratio of 3.
 *
 * Source: [HEYWOOD1988] ch. 6 (from memory).
 *
 * @example
 * ```ts
 * import { blowerOutletTemperatureK } from '@pullproof/core';
 *
 * blowerOutletTemperatureK(298.15, 1.5, 0.6).toFixed(2); // => '359.18'
 * ```
 */
export function blowerOutletTemperatureK(inletTemperatureK: number, pressureRatio: number, adiabaticEfficiency: number): number {
  if (!(pressureRatio >= 1) || !(adiabaticEfficiency > 0 && adiabaticEfficiency <= 1)) {
    throw new PullproofError(
      'E_BLOWER',
      `A pressure ratio of ${pressureRatio} at an adiabatic efficiency of ${adiabaticEfficiency} is no blower's.`,
      {},
      'Give a ratio of 1 or more (absolute pressures) and an efficiency between 0 and 1.',
    );
  }
  return inletTemperatureK * (1 + (pressureRatio ** ((airKappa - 1) / airKappa) - 1) / adiabaticEfficiency);
}

/**
 * Temperature after a cooler.
 *
 * T₃ = T₂ − ε (T₂ − T_cool)
 *
 * @param temperatureK before it
 * @param coolantTemperatureK what cools it
 * @param effectiveness ε, 0–1
 */
export function cooledTemperatureK(temperatureK: number, coolantTemperatureK: number, effectiveness: number): number {
  return temperatureK - effectiveness * (temperatureK - coolantTemperatureK);
}

/**
 * How much denser the charge is than the air at the inlet.
 *
 * (p_m/p₁)(T₁/T_m)
 *
 * @param pressureRatio manifold over inlet, absolute
 * @param inletTemperatureK at the inlet
 * @param chargeTemperatureK in the manifold
 */
export function densityRatio(pressureRatio: number, inletTemperatureK: number, chargeTemperatureK: number): number {
  return (pressureRatio * inletTemperatureK) / chargeTemperatureK;
}

/**
 * Power that drives a blower.
 *
 * P = ṁ c_p (T₂ − T₁)/η_mech
 *
 * @param massFlowKgPerS air
 * @param inletTemperatureK at its inlet
 * @param outletTemperatureK at its outlet, before any cooler
 * @param options `mechanicalEfficiency`, default 1: before mechanical loss
 * @returns W
 */
export function blowerDrivePowerW(
  massFlowKgPerS: number,
  inletTemperatureK: number,
  outletTemperatureK: number,
  options: { readonly mechanicalEfficiency?: number } = {},
): number {
  return (massFlowKgPerS * airHeatCapacityJPerKgK * (outletTemperatureK - inletTemperatureK)) / (options.mechanicalEfficiency ?? 1);
}

/**
 * Best adiabatic efficiency of a blower without internal compression and without leakage.
 *
 * η_max = [κ/(κ−1)] (PR^((κ−1)/κ) − 1)/(PR − 1)
 *
 * @param pressureRatio above 1
 * @returns 0–1; 1 in the limit of no compression
 */
export function rootsEfficiencyLimit(pressureRatio: number): number {
  if (pressureRatio === 1) return 1;
  return ((airKappa / (airKappa - 1)) * (pressureRatio ** ((airKappa - 1) / airKappa) - 1)) / (pressureRatio - 1);
}
