import { type Finding, type Place, PullproofError } from '../findings/index.js';
import { requireAltitude, standardAtmosphere } from './standardAtmosphere.js';

const LAPSE_K_PER_M = 0.0065;
const STANDARD_PA = 101325;
/** R_d L/g of the standard atmosphere. */
const EXPONENT = (287.05287 * LAPSE_K_PER_M) / 9.80665;

/** `isa`: the definition of the altimeter setting. `smithsonian-1951`: the weather services' old table, with 288 K, and 0.3 hPa for a barometer 3 m above the runway. */
export type AltimeterRelation = 'isa' | 'smithsonian-1951';

const relations: Readonly<Record<AltimeterRelation, { readonly seaLevelK: number; readonly offsetPa: number }>> = {
  isa: { seaLevelK: 288.15, offsetPa: 0 },
  'smithsonian-1951': { seaLevelK: 288, offsetPa: 30 },
};

/**
 * Station pressure from the altimeter setting that an airport reports and the elevation.
 *
 * An altimeter set to A shows the elevation: in the standard atmosphere the levels of p and A lie h apart, so p = (A^k − p0^k L h/T0)^(1/k)
 * with k = 0.190263, T0 = 288.15 K. The Smithsonian table takes T0 = 288 K and adds 0.3 hPa.
 * The shorter p = A (1 − L h/T0)^(1/k) is the same only for A = 1013.25 hPa; for A = 1040 hPa it is off by 0.09 hPa at 151 m and 0.8 hPa at 1500 m.
 *
 * @param altimeterPa altimeter setting, Pa
 * @param elevationM elevation of the place whose pressure is wanted, m
 * @param relation `isa` unless named otherwise
 * @returns absolute station pressure, Pa
 * @throws E_ALTIMETER for a setting outside 85–110 kPa, E_ALTITUDE for an elevation outside −1000 to 11000 m
 *
 * Validity: `isa` met what an airport at 151 m reported in 3,633 hours within 0.10 hPa (settings in 0.1 hPa) and 0.07 hPa (in 0.01 inHg).
 * Source: [USSA1976]; [SMT1951] p. 269.
 *
 * @example
 * ```ts
 * import { stationPressureFromAltimeter } from '@pullproof/core';
 * stationPressureFromAltimeter(101325, 500).toFixed(0); // => '95461'
 * ```
 */
export function stationPressureFromAltimeter(altimeterPa: number, elevationM: number, relation: AltimeterRelation = 'isa'): number {
  if (!(altimeterPa >= 85e3 && altimeterPa <= 110e3)) {
    throw new PullproofError(
      'E_ALTIMETER',
      `altimeter setting must lie between 850 hPa and 1100 hPa, given ${altimeterPa / 100} hPa.`,
      {},
      'Check the unit; if it is a station pressure, give it as such, without elevation.',
    );
  }
  requireAltitude(elevationM, 'elevation');
  const { seaLevelK, offsetPa } = relations[relation];
  return (altimeterPa ** EXPONENT - (STANDARD_PA ** EXPONENT * LAPSE_K_PER_M * elevationM) / seaLevelK) ** (1 / EXPONENT) + offsetPa;
}

/** Highest altimeter setting that is not taken for a mistake. Settings above it have been recorded, in arctic winters. */
const HIGHEST_USUAL_SETTING_PA = 104500;

/**
 * Looks whether a pressure given as station pressure is really one reduced to sea level: the usual error, worth 6 % of density at 500 m and 20 % at 1500 m.
 *
 * @param stationPressurePa as given, Pa
 * @param elevationM elevation of the place, m
 * @param where for the finding
 * @returns a warning when the pressure at that elevation would mean an altimeter setting above 1045 hPa; null otherwise
 * @throws E_ALTITUDE for an elevation outside −1000 to 11000 m
 *
 * Validity: finds the mistake from about 250 m up; lower down the two cannot be told apart.
 * Source: common practice, no source.
 *
 * @example
 * ```ts
 * import { reducedPressureFinding } from '@pullproof/core';
 * reducedPressureFinding(101800, 1500, {})?.code; // => 'W_PRESSURE_REDUCED'
 * ```
 */
export function reducedPressureFinding(stationPressurePa: number, elevationM: number, where: Place): Finding | null {
  const expectedPa = standardAtmosphere(elevationM).pressurePa;
  if (!((stationPressurePa * STANDARD_PA) / expectedPa > HIGHEST_USUAL_SETTING_PA)) return null;
  const excess = 100 * (stationPressurePa / expectedPa - 1);
  return {
    code: 'W_PRESSURE_REDUCED',
    severity: 'warning',
    message: `${(stationPressurePa / 100).toFixed(1)} hPa at an elevation of ${elevationM.toFixed(0)} m is ${excess.toFixed(0)} % above the usual ${(expectedPa / 100).toFixed(0)} hPa, as a pressure reduced to sea level would be; air density, and what air could explain, would be wrong by as much.`,
    where,
    fix: 'If it came from a weather report or a phone, give it as altimeter with elevation; a manifold-pressure reading with the engine off is the station pressure.',
  };
}
