import { PullproofError } from '../findings/index.js';

const ICE_POINT_K = 273.15;

/** Name of a published saturation-pressure formula. */
export type SaturationFormula = 'cipm-2007' | 'hyland-wexler-1983' | 'buck-1996' | 'wmo-8';

/** Published formulas of the saturation pressure of water vapour over liquid water, K → Pa. */
const formulas: Readonly<Record<SaturationFormula, (temperatureK: number) => number>> = {
  'cipm-2007': (temperatureK: number) =>
    Math.exp(1.2378847e-5 * temperatureK ** 2 - 1.9121316e-2 * temperatureK + 33.93711047 - 6.3431645e3 / temperatureK),
  'hyland-wexler-1983': (temperatureK: number) =>
    Math.exp(
      -5.8002206e3 / temperatureK +
        1.3914993 -
        4.8640239e-2 * temperatureK +
        4.1764768e-5 * temperatureK ** 2 -
        1.4452093e-8 * temperatureK ** 3 +
        6.5459673 * Math.log(temperatureK),
    ),
  'buck-1996': (temperatureK: number) => {
    const celsius = temperatureK - ICE_POINT_K;
    return 611.21 * Math.exp(((18.678 - celsius / 234.5) * celsius) / (257.14 + celsius));
  },
  'wmo-8': (temperatureK: number) => 611.2 * Math.exp(magnusExponent(temperatureK)),
};

/**
 * Saturation pressure of water vapour over liquid water.
 *
 * @param temperatureK K
 * @param formula `cipm-2007` unless named otherwise: exp(A T² + B T + C + D/T)
 * @returns Pa
 * @throws E_AIR for a temperature outside 223.15–333.15 K
 *
 * Validity: CIPM is certain for 0–30 °C; the four formulas agree within 0.4 % from 0 to 50 °C, which moves density by less than 0.02 %.
 * Source: [CIPM2007] eq. A1.1; [HW1983] as printed in [ASHRAE2017] ch. 1; [BUCK1981], revised 1996 (from memory); [WMO8] annex 4.B.
 *
 * @example
 * ```ts
 * import { saturationPressurePa } from '@pullproof/core';
 * saturationPressurePa(293.15).toFixed(1); // => '2339.2'
 * ```
 */
export function saturationPressurePa(temperatureK: number, formula: SaturationFormula = 'cipm-2007'): number {
  requireTemperature(temperatureK, 'temperature');
  return formulas[formula](temperatureK);
}

/**
 * Dew point of air from its temperature and relative humidity, by the Magnus form over water: G = ln h + 17.62 t/(243.12 + t), t_d = 243.12 G/(17.62 − G).
 *
 * @param temperatureK K
 * @param relativeHumidity above 0, up to 1
 * @returns dew point, K; equals `temperatureK` at humidity 1
 * @throws E_AIR outside 223.15–333.15 K or for a humidity that is not above 0 and at most 1 (dry air has no dew point)
 *
 * Validity: −45 to 60 °C, ±0.6 % of pressure (from memory), about 0.1 K.
 * Source: [WMO8] annex 4.B.
 *
 * @example
 * ```ts
 * import { dewPointK } from '@pullproof/core';
 * (dewPointK(293.15, 0.5) - 273.15).toFixed(3); // => '9.255'
 * ```
 */
export function dewPointK(temperatureK: number, relativeHumidity: number): number {
  requireTemperature(temperatureK, 'temperature');
  if (!(relativeHumidity > 0 && relativeHumidity <= 1)) {
    throw new PullproofError(
      'E_AIR',
      `relative humidity must lie above 0 and at most 1, given ${relativeHumidity}.`,
      {},
      'Check the unit: 45 % is 0.45.',
    );
  }
  const exponent = Math.log(relativeHumidity) + magnusExponent(temperatureK);
  return ICE_POINT_K + (243.12 * exponent) / (17.62 - exponent);
}

/**
 * Relative humidity from air temperature and dew point: h = p_sat(t_d)/p_sat(t), Magnus form over water.
 *
 * @param temperatureK K
 * @param dewPointTemperatureK K, at most the air's temperature
 * @returns relative humidity, 0–1
 * @throws E_AIR outside 223.15–333.15 K (air) or 180 K (dew point), or when the dew point lies above the air's temperature
 *
 * Validity: as {@link dewPointK}.
 * Source: [WMO8] annex 4.B.
 *
 * @example
 * ```ts
 * import { relativeHumidityFromDewPoint } from '@pullproof/core';
 * relativeHumidityFromDewPoint(303.15, 293.15).toFixed(3); // => '0.551'
 * ```
 */
export function relativeHumidityFromDewPoint(temperatureK: number, dewPointTemperatureK: number): number {
  requireTemperature(temperatureK, 'temperature');
  if (!(dewPointTemperatureK >= 180 && dewPointTemperatureK <= temperatureK)) {
    throw new PullproofError(
      'E_AIR',
      `dew point must lie between 180 K and the air's temperature of ${temperatureK} K, given ${dewPointTemperatureK} K.`,
      {},
      'Check the units of both; the dew point is never above the temperature.',
    );
  }
  return Math.exp(magnusExponent(dewPointTemperatureK) - magnusExponent(temperatureK));
}

function magnusExponent(temperatureK: number): number {
  const celsius = temperatureK - ICE_POINT_K;
  return (17.62 * celsius) / (243.12 + celsius);
}

function requireTemperature(temperatureK: number, name: string): void {
  if (!(temperatureK >= 223.15 && temperatureK <= 333.15)) {
    throw new PullproofError('E_AIR', `${name} must lie between 223.15 K and 333.15 K, given ${temperatureK}.`, {}, 'Check the unit.');
  }
}
