import { type Air, requireAir } from './air.js';
import { saturationPressurePa } from './saturation.js';

/** Moist air as CIPM-2007 describes it. */
export interface MoistAir {
  readonly densityKgPerM3: number;
  /** Mole fraction of water vapour. */
  readonly vapourMoleFraction: number;
  /** Partial pressure of water vapour, x_v p. */
  readonly vapourPressurePa: number;
  /** Partial pressure of the rest, what the engine standards call dry pressure. */
  readonly dryPressurePa: number;
  readonly enhancement: number;
  readonly compressibility: number;
}

const GAS_CONSTANT = 8.314472;
const DRY_MOLAR_MASS_KG = 28.96546e-3;
const VAPOUR_MOLAR_MASS_KG = 18.01528e-3;

/**
 * Moist air by CIPM-2007: ρ = p M_a/(Z R T) · [1 − x_v (1 − M_v/M_a)] with x_v = h f p_sv/p, for 400 ppm of carbon dioxide.
 *
 * @param air temperature K, station pressure Pa, relative humidity 0–1
 * @returns density kg/m³ with what it was made of (pressures Pa)
 * @throws E_AIR outside −50 to 60 °C, 50 to 115 kPa, 0 to 1, and for NaN
 *
 * Validity: published for 15–27 °C and 600–1100 hPa; a fair continuation beyond, within 0.01 % of an older form at 40 °C.
 * Source: [CIPM2007] eq. 1 and appendix A.
 * Uncertainty: 22 ppm of the equation inside its range (from memory); that of the inputs by {@link airDensitySpread}.
 *
 * @example
 * ```ts
 * import { moistAir } from '@pullproof/core';
 * moistAir({ temperatureK: 293.15, stationPressurePa: 101325, relativeHumidity: 0.5 }).dryPressurePa.toFixed(0); // => '100151'
 * ```
 */
export function moistAir(air: Air): MoistAir {
  requireAir(air);
  const { temperatureK, stationPressurePa, relativeHumidity } = air;
  const celsius = temperatureK - 273.15;
  const enhancement = 1.00062 + 3.14e-8 * stationPressurePa + 5.6e-7 * celsius ** 2;
  const x = (relativeHumidity * enhancement * saturationPressurePa(temperatureK)) / stationPressurePa;
  const ratio = stationPressurePa / temperatureK;
  const compressibility =
    1 -
    ratio *
      (1.58123e-6 -
        2.9331e-8 * celsius +
        1.1043e-10 * celsius ** 2 +
        (5.707e-6 - 2.051e-8 * celsius) * x +
        (1.9898e-4 - 2.376e-6 * celsius) * x ** 2) +
    ratio ** 2 * (1.83e-11 - 0.765e-8 * x ** 2);
  const densityKgPerM3 =
    ((ratio * DRY_MOLAR_MASS_KG) / (compressibility * GAS_CONSTANT)) * (1 - x * (1 - VAPOUR_MOLAR_MASS_KG / DRY_MOLAR_MASS_KG));
  const vapourPressurePa = x * stationPressurePa;
  return {
    densityKgPerM3,
    vapourMoleFraction: x,
    vapourPressurePa,
    dryPressurePa: stationPressurePa - vapourPressurePa,
    enhancement,
    compressibility,
  };
}

/**
 * Density of moist air by CIPM-2007, see {@link moistAir}.
 *
 * @param air temperature K, station pressure Pa, relative humidity 0–1
 * @returns kg/m³
 * @throws E_AIR as {@link moistAir}
 *
 * @example
 * ```ts
 * import { airDensity } from '@pullproof/core';
 * airDensity({ temperatureK: 293.15, stationPressurePa: 101325, relativeHumidity: 0.5 }).toFixed(5); // => '1.19931'
 * ```
 */
export function airDensity(air: Air): number {
  return moistAir(air).densityKgPerM3;
}

/** Standard uncertainty of a density, kg/m³, and what each input adds to it (signed sensitivity times spread). */
export interface AirDensitySpread {
  readonly spreadKgPerM3: number;
  readonly temperatureKgPerM3: number;
  readonly pressureKgPerM3: number;
  readonly humidityKgPerM3: number;
}

/**
 * Standard uncertainty of the density from those of its three inputs, first order, inputs independent: u² = Σ (∂ρ/∂x · u_x)².
 *
 * @param air temperature K, station pressure Pa, relative humidity 0–1
 * @param spreads one standard uncertainty of each, same units and names
 * @returns kg/m³ each; zero where the spread is zero
 * @throws E_AIR as {@link moistAir}
 *
 * Validity: small spreads (a few K, some kPa); derivatives are central differences that stay inside the valid range.
 * Source: [GUM] eq. 10.
 *
 * @example
 * ```ts
 * import { airDensitySpread } from '@pullproof/core';
 * const air = { temperatureK: 293.15, stationPressurePa: 101325, relativeHumidity: 0.5 };
 * airDensitySpread(air, { temperatureK: 1, stationPressurePa: 100, relativeHumidity: 0.1 }).spreadKgPerM3.toFixed(4); // => '0.0047'
 * ```
 */
export function airDensitySpread(air: Air, spreads: Air): AirDensitySpread {
  const temperatureKgPerM3 = slope(air, 'temperatureK', 0.05, 223.15, 333.15) * spreads.temperatureK;
  const pressureKgPerM3 = slope(air, 'stationPressurePa', 10, 50e3, 115e3) * spreads.stationPressurePa;
  const humidityKgPerM3 = slope(air, 'relativeHumidity', 0.005, 0, 1) * spreads.relativeHumidity;
  return {
    spreadKgPerM3: Math.hypot(temperatureKgPerM3, pressureKgPerM3, humidityKgPerM3),
    temperatureKgPerM3,
    pressureKgPerM3,
    humidityKgPerM3,
  };
}

function slope(air: Air, key: keyof Air, step: number, low: number, high: number): number {
  const from = Math.max(low, air[key] - step);
  const to = Math.min(high, air[key] + step);
  return (airDensity({ ...air, [key]: to }) - airDensity({ ...air, [key]: from })) / (to - from);
}
