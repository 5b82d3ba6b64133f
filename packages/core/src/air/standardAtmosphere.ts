import { PullproofError } from '../findings/index.js';

const SEA_LEVEL_K = 288.15;
const SEA_LEVEL_PA = 101325;
const LAPSE_K_PER_M = 0.0065;
const GAS_CONSTANT_DRY = 287.05287;
const GRAVITY = 9.80665;
const EARTH_RADIUS_M = 6356766;
const EXPONENT = GRAVITY / (GAS_CONSTANT_DRY * LAPSE_K_PER_M);
const SEA_LEVEL_DENSITY = SEA_LEVEL_PA / (GAS_CONSTANT_DRY * SEA_LEVEL_K);

/** A level of the standard atmosphere. */
export interface AtmosphereLevel {
  readonly temperatureK: number;
  readonly pressurePa: number;
  readonly densityKgPerM3: number;
}

/**
 * The standard atmosphere below 11 km: T = T0 − L H, p = p0 (T/T0)^5.25588, ρ = p/(R_d T).
 *
 * @param geopotentialM geopotential altitude, m; from a geometric one by {@link geopotentialFromGeometric}
 * @returns temperature K, pressure Pa, density kg/m³
 * @throws E_ALTITUDE outside −1000 to 11000 m
 *
 * Source: [USSA1976]; identical with the ICAO atmosphere below 32 km.
 *
 * @example
 * ```ts
 * import { standardAtmosphere } from '@pullproof/core';
 * standardAtmosphere(1000).pressurePa.toFixed(1); // => '89874.6'
 * ```
 */
export function standardAtmosphere(geopotentialM: number): AtmosphereLevel {
  requireAltitude(geopotentialM, 'altitude');
  const temperatureK = SEA_LEVEL_K - LAPSE_K_PER_M * geopotentialM;
  const pressurePa = SEA_LEVEL_PA * (temperatureK / SEA_LEVEL_K) ** EXPONENT;
  return { temperatureK, pressurePa, densityKgPerM3: pressurePa / (GAS_CONSTANT_DRY * temperatureK) };
}

/**
 * Geopotential altitude of a geometric one: H = r Z/(r + Z).
 *
 * @param geometricM height above sea level, m
 * @returns m
 * @throws E_ALTITUDE outside −1000 to 11000 m
 *
 * Source: [USSA1976] eq. 18.
 *
 * @example
 * ```ts
 * import { geopotentialFromGeometric } from '@pullproof/core';
 * geopotentialFromGeometric(3000).toFixed(2); // => '2998.58'
 * ```
 */
export function geopotentialFromGeometric(geometricM: number): number {
  requireAltitude(geometricM, 'height');
  return (EARTH_RADIUS_M * geometricM) / (EARTH_RADIUS_M + geometricM);
}

/**
 * Pressure altitude: the level of the standard atmosphere that has this pressure, (T0/L)[1 − (p/p0)^0.190263].
 *
 * @param stationPressurePa absolute pressure, Pa
 * @returns m
 * @throws E_ALTITUDE for a pressure not between 22632 Pa (11 km) and 120 kPa
 *
 * Source: [USSA1976], inverted.
 *
 * @example
 * ```ts
 * import { pressureAltitudeM } from '@pullproof/core';
 * pressureAltitudeM(90000).toFixed(1); // => '988.5'
 * ```
 */
export function pressureAltitudeM(stationPressurePa: number): number {
  if (!(stationPressurePa >= 22632 && stationPressurePa <= 120e3)) {
    throw new PullproofError(
      'E_ALTITUDE',
      `pressure must lie between 22632 Pa and 120000 Pa, given ${stationPressurePa}.`,
      {},
      'Check the unit; it is an absolute pressure.',
    );
  }
  return (SEA_LEVEL_K / LAPSE_K_PER_M) * (1 - (stationPressurePa / SEA_LEVEL_PA) ** (1 / EXPONENT));
}

/**
 * Density altitude: the level of the standard atmosphere that has this density, (T0/L)[1 − (ρ/ρ0)^0.234969].
 *
 * @param densityKgPerM3 of the moist air, kg/m³
 * @returns m; negative in air denser than at standard sea level
 * @throws E_ALTITUDE for a density not between 0.36 and 1.8 kg/m³
 *
 * Validity: near 0 for standard air; −3 m there with CIPM-2007, whose dry air is 0.04 % denser than the standard's.
 * Source: [USSA1976], inverted.
 *
 * @example
 * ```ts
 * import { densityAltitudeM } from '@pullproof/core';
 * densityAltitudeM(1.11164).toFixed(0); // => '1000'
 * ```
 */
export function densityAltitudeM(densityKgPerM3: number): number {
  if (!(densityKgPerM3 >= 0.36 && densityKgPerM3 <= 1.8)) {
    throw new PullproofError(
      'E_ALTITUDE',
      `air density must lie between 0.36 and 1.8 kg/m³, given ${densityKgPerM3}.`,
      {},
      'Check temperature and pressure.',
    );
  }
  return (SEA_LEVEL_K / LAPSE_K_PER_M) * (1 - (densityKgPerM3 / SEA_LEVEL_DENSITY) ** (1 / (EXPONENT - 1)));
}

/** Refuses what is not a height of a road, NaN included. */
export function requireAltitude(altitudeM: number, name: string): void {
  if (!(altitudeM >= -1000 && altitudeM <= 11000)) {
    throw new PullproofError('E_ALTITUDE', `${name} must lie between −1000 m and 11000 m, given ${altitudeM}.`, {}, 'Check the unit.');
  }
}
