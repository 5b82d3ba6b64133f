import { PullproofError } from '../findings/index.js';
import { STANDARD_GRAVITY } from '../vehicle/index.js';

/** Elapsed time and speed at the end of a distance. */
export interface ElapsedTime {
  readonly elapsedTimeS: number;
  /** At the end, not the mean of a speed trap. */
  readonly speedMps: number;
}

/**
 * The limit of constant power: a mass pushed by one power over a distance, with no losses.
 *
 * v = (3 P x/m)^(1/3), t = (9 m x²/(8 P))^(1/3). With a grip limit μ: constant a = μ g up to v₁ = P/(m μ g), then
 * v³ = v₁³ + 3 P (x − x₁)/m and t = t₁ + m (v² − v₁²)/(2 P).
 *
 * @param massKg mass with driver, kg
 * @param powerW power at the road, W
 * @param options `distanceM`, 402.336 (a quarter mile) unless given; `gripShare`: largest driving force over the car's weight, none unless given
 * @returns elapsed time from the first movement, s, and speed at the end, m/s
 * @throws E_STRIP_INPUT for a mass, power, distance or grip that is not a positive finite number
 *
 * Validity: a bound, not a forecast: no drag, no rolling resistance, no shifts, no rotating parts.
 * Source: elementary mechanics; [NAHIN2016] ch. 3.
 *
 * @example
 * ```ts
 * import { constantPower } from '@pullproof/core';
 * constantPower(1600, 250e3).elapsedTimeS.toFixed(4); // => '10.5237'
 * constantPower(1600, 250e3, { gripShare: 0.5 }).elapsedTimeS.toFixed(4); // => '13.1624'
 * ```
 */
export function constantPower(
  massKg: number,
  powerW: number,
  options: { readonly distanceM?: number; readonly gripShare?: number } = {},
): ElapsedTime {
  const { distanceM = 402.336, gripShare = Number.POSITIVE_INFINITY } = options;
  if (!(isPositive(massKg) && isPositive(powerW) && isPositive(distanceM) && gripShare > 0)) {
    throw new PullproofError(
      'E_STRIP_INPUT',
      `mass ${massKg} kg, power ${powerW} W, distance ${distanceM} m and grip ${gripShare} must be positive.`,
      {},
      'Check mass, power and grip.',
    );
  }
  const accelerationMps2 = gripShare * STANDARD_GRAVITY;
  const freeSpeedMps = powerW / (massKg * accelerationMps2);
  const freeDistanceM = freeSpeedMps ** 2 / (2 * accelerationMps2);
  if (freeDistanceM >= distanceM) {
    return { elapsedTimeS: Math.sqrt((2 * distanceM) / accelerationMps2), speedMps: Math.sqrt(2 * accelerationMps2 * distanceM) };
  }
  const speedMps = Math.cbrt(freeSpeedMps ** 3 + (3 * powerW * (distanceM - freeDistanceM)) / massKg);
  return {
    elapsedTimeS: freeSpeedMps / accelerationMps2 + (massKg * (speedMps ** 2 - freeSpeedMps ** 2)) / (2 * powerW),
    speedMps,
  };
}

function isPositive(value: number): boolean {
  return value > 0 && Number.isFinite(value);
}
