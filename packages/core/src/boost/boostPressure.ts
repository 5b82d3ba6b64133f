import { PullproofError } from '../findings/index.js';

/**
 * Boost: manifold pressure above the weather's at that time. A fixed sea-level value would hide altitude.
 *
 * @param manifoldPressurePa absolute; NaN stays NaN
 * @param stationPressurePa absolute
 * @returns gauge pressure, Pa; below zero without boost
 */
export function boostPa(manifoldPressurePa: Float64Array, stationPressurePa: number): Float64Array {
  return manifoldPressurePa.map((value) => value - checkedPressure(stationPressurePa));
}

/**
 * Pressure ratio of the blower as near as it was measured: manifold over inlet pressure, both absolute.
 *
 * @param manifoldPressurePa absolute; NaN stays NaN
 * @param inletPressurePa at the blower's inlet where it was logged, one value a row; otherwise the weather's pressure, which misses what the filter takes
 * @returns ratio
 */
export function pressureRatioOf(manifoldPressurePa: Float64Array, inletPressurePa: Float64Array | number): Float64Array {
  if (typeof inletPressurePa === 'number') {
    const inlet = checkedPressure(inletPressurePa);
    return manifoldPressurePa.map((value) => value / inlet);
  }
  if (inletPressurePa.length !== manifoldPressurePa.length) {
    throw new PullproofError('E_LENGTHS', 'Manifold and inlet pressure differ in length.', {}, 'Give arrays of one length.');
  }
  return manifoldPressurePa.map((value, i) => (inletPressurePa[i]! > 0 ? value / inletPressurePa[i]! : Number.NaN));
}

function checkedPressure(pressurePa: number): number {
  // Highest station pressure ever read is near 108 kPa; the highest road lies near 50 kPa.
  if (pressurePa > 40000 && pressurePa < 115000) return pressurePa;
  throw new PullproofError(
    'E_STATION_PRESSURE',
    `A station pressure of ${(pressurePa / 1000).toFixed(1)} kPa is not of this earth's roads.`,
    {},
    'Give the absolute pressure of the weather at the place, Pa.',
  );
}
