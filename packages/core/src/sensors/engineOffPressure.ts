import type { Finding, Place } from '../findings/index.js';
import { PullproofError } from '../findings/index.js';

/** Options of {@link engineOffPressure}. */
export interface EngineOffOptions {
  /** Pressure of the weather as entered, absolute, Pa; null when none was. */
  readonly enteredPressurePa?: number | null;
  /** Further apart than this the two disagree, Pa. Default 2000: sensor (±1.5 kPa) and weather taken together. */
  readonly toleratedPa?: number;
  /** Engine speed below which it stands still. Default 50. */
  readonly stillBelowRpm?: number;
  /** The manifold takes a moment to fill after the engine stops, s. Default 1. */
  readonly settleS?: number;
  readonly where?: Place;
}

export interface EngineOffPressure {
  /** Median of the readings with the engine off, Pa, in the channel's reference; null without at least five. */
  readonly pressurePa: number | null;
  /** Nine in ten of the used readings lie this near to the median, Pa; engine speed that is read late lets a few wrong ones in. */
  readonly scatterPa: number | null;
  readonly readings: number;
  readonly findings: readonly Finding[];
}

/**
 * Manifold pressure while the engine stands still: the sensor as a barometer, held against the pressure that was entered.
 *
 * @param timeS time of each row, s, never falling
 * @param valuesPa manifold pressure, absolute, Pa; NaN where there is none
 * @param engineSpeedRpm same length, held between its readings (the two channels seldom share rows); rows with NaN are not used
 * @returns the median reading and how many it rests on; a finding when it disagrees with the entered pressure
 * @throws E_LENGTHS when the arrays differ in length
 *
 * Uncertainty: the sensor's own, about ±1.5 kPa for the published ones.
 */
export function engineOffPressure(
  timeS: Float64Array,
  valuesPa: Float64Array,
  engineSpeedRpm: Float64Array,
  options: EngineOffOptions = {},
): EngineOffPressure {
  const { enteredPressurePa = null, toleratedPa = 2000, stillBelowRpm = 50, settleS = 1, where = {} } = options;
  if (valuesPa.length !== timeS.length || engineSpeedRpm.length !== timeS.length) {
    throw new PullproofError(
      'E_LENGTHS',
      `Time has ${timeS.length} values, pressure ${valuesPa.length}, engine speed ${engineSpeedRpm.length}.`,
      where,
      'Give arrays of one length.',
    );
  }
  const readings: number[] = [];
  let lastTurningS = Number.NEGATIVE_INFINITY;
  for (let i = 0; i < timeS.length; i++) {
    const rpm = engineSpeedRpm[i]!;
    if (rpm >= stillBelowRpm) lastTurningS = timeS[i]!;
    if (!(rpm < stillBelowRpm) || timeS[i]! - lastTurningS < settleS || !Number.isFinite(valuesPa[i]!)) continue;
    readings.push(valuesPa[i]!);
  }
  if (readings.length < 5) return { pressurePa: null, scatterPa: null, readings: readings.length, findings: [] };
  readings.sort((a, b) => a - b);
  const middle = readings.length >> 1;
  const pressurePa = readings.length % 2 === 1 ? readings[middle]! : (readings[middle - 1]! + readings[middle]!) / 2;
  const distances = readings.map((reading) => Math.abs(reading - pressurePa)).sort((a, b) => a - b);
  const scatterPa = distances[Math.ceil(0.9 * distances.length) - 1]!;
  const findings: Finding[] = [];
  if (enteredPressurePa !== null && Math.abs(pressurePa - enteredPressurePa) > toleratedPa) {
    const kpa = (pa: number): string => `${(pa / 1000).toFixed(1)} kPa`;
    const differencePa = pressurePa - enteredPressurePa;
    const likely =
      Math.abs(pressurePa) < 5000
        ? 'The channel reads about zero: it is gauge pressure, not absolute.'
        : enteredPressurePa > 100000 && differencePa < 0
          ? 'The entered pressure may be an altimeter setting (reduced to sea level) instead of station pressure, or the sensor law is not this sensor’s.'
          : 'Either the entered pressure belongs to another place or day, or the sensor law is not this sensor’s.';
    findings.push({
      code: 'W_BAROMETER_DISAGREES',
      severity: 'warning',
      message: `With the engine off manifold pressure reads ${kpa(pressurePa)}, but ${kpa(enteredPressurePa)} was entered for the weather, ${kpa(Math.abs(differencePa))} apart. ${likely} Boost and air density rest on it.`,
      where,
      fix: 'Enter station pressure (not reduced to sea level) for place and hour, and check the sensor’s law.',
      count: readings.length,
    });
  }
  return { pressurePa, scatterPa, readings: readings.length, findings };
}
