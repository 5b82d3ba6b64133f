import { PullproofError } from '../findings/index.js';
import { type PressureLaw, pressureLaw, ratiometricLaw } from './pressureLaw.js';

/** A sensor whose law was published. */
export interface PublishedPressureSensor {
  readonly name: string;
  readonly law: PressureLaw;
  /** Rated range, absolute. Beyond its top the output saturates. */
  readonly lowestPa: number;
  readonly highestPa: number;
  /** What of it was seen in a datasheet, and what is from memory. */
  readonly source: string;
}

const kpa = 1000;

/**
 * Manifold-pressure sensors with a published law, all absolute and ratiometric to 5 V.
 *
 * Source: the makers' datasheets where `source` says so; what is from memory says so.
 */
export const publishedPressureSensors: readonly PublishedPressureSensor[] = [
  {
    name: 'MPX4115A',
    law: ratiometricLaw(0.009 / kpa, -0.095),
    lowestPa: 15 * kpa,
    highestPa: 115 * kpa,
    source: 'datasheet: V = Vs (0.009 P − 0.095), ±1.5 kPa from 0 to 85 °C',
  },
  {
    name: 'MPX4250A',
    law: ratiometricLaw(0.004 / kpa, -0.04),
    lowestPa: 20 * kpa,
    highestPa: 250 * kpa,
    source: 'datasheet: V = Vs (0.004 P − 0.04), Vs 5.1 ± 0.25 V',
  },
  {
    name: 'MPXH6300A',
    law: ratiometricLaw(0.00318 / kpa, -0.00353),
    lowestPa: 20 * kpa,
    highestPa: 304 * kpa,
    source: 'range and ±1.5 % from the datasheet; coefficients from memory, they reproduce its end points',
  },
  {
    name: 'MPXH6400A',
    law: ratiometricLaw(0.002421 / kpa, -0.00842),
    lowestPa: 20 * kpa,
    highestPa: 400 * kpa,
    source: 'range from the datasheet; coefficients from memory, they reproduce its end points',
  },
  {
    name: 'Bosch PST 1',
    law: pressureLaw({ voltageV: -0.00476, pressurePa: 0 }, { voltageV: 4.048 - 0.00476, pressurePa: 100 * kpa }),
    lowestPa: 10 * kpa,
    highestPa: 115 * kpa,
    source: 'datasheet: 4048 mV/bar, −4.76 mV at 5 V',
  },
  {
    name: 'Bosch PST 3',
    law: pressureLaw({ voltageV: 0.09643, pressurePa: 0 }, { voltageV: 1.518 + 0.09643, pressurePa: 100 * kpa }),
    lowestPa: 20 * kpa,
    highestPa: 300 * kpa,
    source: 'datasheet: 1518 mV/bar, +96.43 mV at 5 V',
  },
  {
    name: 'Bosch 0 281 002 573',
    law: pressureLaw({ voltageV: 0.4, pressurePa: 20 * kpa }, { voltageV: 4.65, pressurePa: 250 * kpa }),
    lowestPa: 20 * kpa,
    highestPa: 250 * kpa,
    source: 'range from the datasheet; voltages from memory',
  },
];

/**
 * A published sensor by its name.
 *
 * @param name as in {@link publishedPressureSensors}; upper and lower case do not matter
 * @throws E_SENSOR_UNKNOWN with the known names
 */
export function publishedPressureSensor(name: string): PublishedPressureSensor {
  const found = publishedPressureSensors.find((sensor) => sensor.name.toLowerCase() === name.toLowerCase());
  if (found === undefined) {
    throw new PullproofError(
      'E_SENSOR_UNKNOWN',
      `No published law is known for a sensor named ${name}.`,
      {},
      `Give two points of its law instead, or one of: ${publishedPressureSensors.map((sensor) => sensor.name).join(', ')}.`,
    );
  }
  return found;
}

/**
 * What a sensor's range means for boost, as people speak of it.
 *
 * gauge = top of the range − station pressure
 *
 * @param highestPa top of the sensor's range, absolute, Pa
 * @param stationPressurePa pressure of the weather, absolute, Pa
 * @returns the highest boost that it can show, gauge, Pa, and a sentence
 *
 * @example
 * ```ts
 * import { highestBoostOf } from '@pullproof/core';
 *
 * highestBoostOf(200000, 84000).sentence.includes('16.8 psi'); // => true
 * ```
 */
export function highestBoostOf(highestPa: number, stationPressurePa: number): { readonly gaugePa: number; readonly sentence: string } {
  const gaugePa = highestPa - stationPressurePa;
  const psi = (pa: number): string => `${(pa / 6894.757293168361).toFixed(1)} psi`;
  const sentence = `A sensor whose range ends at ${(highestPa / 1000).toFixed(0)} kPa absolute tops out at ${psi(gaugePa)} (${(gaugePa / 1000).toFixed(0)} kPa) of boost where the barometer is ${(stationPressurePa / 1000).toFixed(1)} kPa; at sea level (101.325 kPa) that would be ${psi(highestPa - 101325)}.`;
  return { gaugePa, sentence };
}
