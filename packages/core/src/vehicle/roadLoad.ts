import { PullproofError } from '../findings/index.js';

/** What resists a car on a road. */
export interface RoadLoadInputs {
  readonly massKg: number;
  readonly airDensityKgPerM3: number;
  /** Drag coefficient times frontal area. */
  readonly dragAreaM2: number;
  readonly rollingCoefficient: number;
  /** Along the road, against the car positive; 0 unless given. */
  readonly headwindMps?: number;
  /** Rise over run, uphill positive; 0 unless given. */
  readonly grade?: number;
}

/** Forces against a car that drives forward, N. */
export interface RoadLoad {
  readonly aeroN: number;
  readonly rollingN: number;
  readonly gradeN: number;
  readonly totalN: number;
}

/** Standard gravity, m/s². */
export const STANDARD_GRAVITY = 9.80665;

/**
 * Forces against a car at a speed: aero ½ρ C_dA v_air |v_air|, rolling C_rr m g cos θ, grade m g sin θ.
 *
 * @param speedMps ground speed, m/s, forward
 * @param inputs mass kg, density kg/m³, drag area m², rolling coefficient, headwind m/s, grade as rise over run
 * @returns each force and their sum, N; a tailwind faster than the car pushes it
 * @throws E_ROAD_LOAD for numbers that are not finite, negative mass, density, drag area or coefficient, or a grade beyond ±0.5
 *
 * Validity: straight, dry road; constant coefficients; side wind not counted.
 * Source: [GILLESPIE1992] eq. 4-12.
 *
 * @example
 * ```ts
 * import { roadLoad } from '@pullproof/core';
 * const car = { massKg: 1600, airDensityKgPerM3: 1.18, dragAreaM2: 0.65, rollingCoefficient: 0.012 };
 * roadLoad(30, car).aeroN.toFixed(2); // => '345.15'
 * ```
 */
export function roadLoad(speedMps: number, inputs: RoadLoadInputs): RoadLoad {
  requireInputs(speedMps, inputs);
  const { massKg, airDensityKgPerM3, dragAreaM2, rollingCoefficient, headwindMps = 0, grade = 0 } = inputs;
  const airSpeedMps = speedMps + headwindMps;
  const slope = Math.atan(grade);
  const aeroN = 0.5 * airDensityKgPerM3 * dragAreaM2 * airSpeedMps * Math.abs(airSpeedMps);
  const rollingN = rollingCoefficient * massKg * STANDARD_GRAVITY * Math.cos(slope);
  const gradeN = massKg * STANDARD_GRAVITY * Math.sin(slope);
  return { aeroN, rollingN, gradeN, totalN: aeroN + rollingN + gradeN };
}

/** A car in motion: road load and the inertia of what spins. */
export interface MotionInputs extends RoadLoadInputs {
  /** At least 1. */
  readonly rotatingFactor: number;
}

/**
 * Wheel power of a car in motion: P = (m k_r a + road load) v.
 *
 * @param speedMps ground speed, m/s
 * @param accelerationMps2 along the road, m/s²
 * @param inputs as {@link roadLoad}, with the rotating factor
 * @returns W; negative when the car is slowed by more than the road load
 * @throws E_ROAD_LOAD as {@link roadLoad}, or for a rotating factor below 1 or an acceleration that is not finite
 *
 * Source: [GILLESPIE1992] eq. 4-12.
 *
 * @example
 * ```ts
 * import { wheelPowerW } from '@pullproof/core';
 * const car = { massKg: 1600, rotatingFactor: 1.08, airDensityKgPerM3: 1.18, dragAreaM2: 0.65, rollingCoefficient: 0.012 };
 * wheelPowerW(30, 2.5, car).toFixed(0); // => '145603'
 * ```
 */
export function wheelPowerW(speedMps: number, accelerationMps2: number, inputs: MotionInputs): number {
  requireMotion(accelerationMps2, inputs.rotatingFactor);
  return (inputs.massKg * inputs.rotatingFactor * accelerationMps2 + roadLoad(speedMps, inputs).totalN) * speedMps;
}

/**
 * Acceleration that a wheel power gives a car: a = (P/v − road load)/(m k_r), the inverse of {@link wheelPowerW}.
 *
 * @param speedMps ground speed, m/s, above 0
 * @param powerW wheel power, W
 * @param inputs as {@link roadLoad}, with the rotating factor
 * @returns m/s²
 * @throws E_ROAD_LOAD as {@link wheelPowerW}, or for a speed that is not above 0
 *
 * Validity: no limit of grip.
 * Source: [GILLESPIE1992] eq. 4-12.
 *
 * @example
 * ```ts
 * import { accelerationFromPower } from '@pullproof/core';
 * const car = { massKg: 1600, rotatingFactor: 1.08, airDensityKgPerM3: 1.18, dragAreaM2: 0.65, rollingCoefficient: 0.012 };
 * accelerationFromPower(30, 145603, car).toFixed(3); // => '2.500'
 * ```
 */
export function accelerationFromPower(speedMps: number, powerW: number, inputs: MotionInputs): number {
  requireMotion(powerW, inputs.rotatingFactor);
  const { totalN } = roadLoad(speedMps, inputs);
  if (!(speedMps > 0)) throw refusal(`speed must be above 0 for a power to mean a force, given ${speedMps} m/s.`);
  return (powerW / speedMps - totalN) / (inputs.massKg * inputs.rotatingFactor);
}

function requireInputs(speedMps: number, inputs: RoadLoadInputs): void {
  const { massKg, airDensityKgPerM3, dragAreaM2, rollingCoefficient, headwindMps = 0, grade = 0 } = inputs;
  const positive = massKg > 0 && airDensityKgPerM3 >= 0 && dragAreaM2 >= 0 && rollingCoefficient >= 0;
  const finite = Number.isFinite(speedMps + massKg + airDensityKgPerM3 + dragAreaM2 + rollingCoefficient + headwindMps);
  if (positive && finite && Math.abs(grade) <= 0.5) return;
  throw refusal(
    `speed ${speedMps} m/s, mass ${massKg} kg, air density ${airDensityKgPerM3} kg/m³, drag area ${dragAreaM2} m², rolling coefficient ${rollingCoefficient}, headwind ${headwindMps} m/s and grade ${grade} must be finite, none but speed, wind and grade negative, and grade within ±0.5.`,
  );
}

function requireMotion(number: number, rotatingFactor: number): void {
  if (Number.isFinite(number) && rotatingFactor >= 1 && Number.isFinite(rotatingFactor)) return;
  throw refusal(`rotating factor ${rotatingFactor} must be at least 1 and acceleration or power ${number} finite.`);
}

function refusal(what: string): PullproofError {
  return new PullproofError('E_ROAD_LOAD', what, {}, 'Check the units of the car and the air.');
}
