import { PullproofError } from '../findings/index.js';
import { type RoadLoadInputs, STANDARD_GRAVITY } from './roadLoad.js';

/** Force against a car that coasts in neutral, F = A + B v + C v². Published sets in lbf and mph convert with `convert(…, 'lbf/mph', 'N/(m/s)')`. */
export interface CoastDownCoefficients {
  readonly constantN: number;
  readonly linearNPerMps: number;
  readonly quadraticNPerMps2: number;
}

/**
 * Force of a coast-down set at a speed: F = A + B v + C v².
 *
 * @param speedMps m/s
 * @param coefficients N, N/(m/s), N/(m/s)²
 * @returns N; NaN for NaN
 *
 * Source: [CFR1066] subpart D (form).
 *
 * @example
 * ```ts
 * import { coastDownForceN } from '@pullproof/core';
 * coastDownForceN(20, { constantN: 120, linearNPerMps: 1, quadraticNPerMps2: 0.4 }); // => 300
 * ```
 */
export function coastDownForceN(speedMps: number, coefficients: CoastDownCoefficients): number {
  return coefficients.constantN + (coefficients.linearNPerMps + coefficients.quadraticNPerMps2 * speedMps) * speedMps;
}

/**
 * Coast-down set of a car by the road-load model: A = m g (C_rr cos θ + sin θ) + ½ρC_dA w², B = ρC_dA w, C = ½ρC_dA.
 *
 * @param inputs as `roadLoad`
 * @returns N, N/(m/s), N/(m/s)²
 *
 * Validity: ground speed faster than a tailwind.
 * Source: [GILLESPIE1992] eq. 4-12, expanded.
 *
 * @example
 * ```ts
 * import { coastDownFromRoadLoad } from '@pullproof/core';
 * const car = { massKg: 1600, airDensityKgPerM3: 1.2, dragAreaM2: 0.7, rollingCoefficient: 0.012 };
 * coastDownFromRoadLoad(car).quadraticNPerMps2; // => 0.42
 * ```
 */
export function coastDownFromRoadLoad(inputs: RoadLoadInputs): CoastDownCoefficients {
  const { massKg, airDensityKgPerM3, dragAreaM2, rollingCoefficient, headwindMps = 0, grade = 0 } = inputs;
  const slope = Math.atan(grade);
  const quadratic = 0.5 * airDensityKgPerM3 * dragAreaM2;
  return {
    constantN: massKg * STANDARD_GRAVITY * (rollingCoefficient * Math.cos(slope) + Math.sin(slope)) + quadratic * headwindMps ** 2,
    linearNPerMps: 2 * quadratic * headwindMps,
    quadraticNPerMps2: quadratic,
  };
}

/**
 * Time to coast from one speed down to another: t = M ∫ dv/(A + B v + C v²), in closed form for any signs of the coefficients.
 *
 * With s² = 4AC − B² and Δ = v₁ − v₂: t = (2M/s) atan2(sΔ, 2A + B(v₁ + v₂) + 2C v₁v₂); artanh in place of atan where s² < 0.
 *
 * @param span speeds from and to, m/s
 * @param coefficients N, N/(m/s), N/(m/s)²
 * @param effectiveMassKg mass with the inertia of all that spins, kg
 * @returns s; Infinity when the car never gets down to that speed because nothing resists it there
 * @throws E_COAST for speeds that do not fall or are negative, a mass that is not positive, or numbers that are not finite
 *
 * Validity: constant coefficients, neutral.
 * Source: [CFR86.529] (values); integral by hand.
 *
 * @example
 * ```ts
 * import { coastDownTimeS } from '@pullproof/core';
 * const coefficients = { constantN: 0, linearNPerMps: 0, quadraticNPerMps2: 0.0224 * 3.6 ** 2 };
 * coastDownTimeS({ fromMps: 70 / 3.6, toMps: 60 / 3.6 }, coefficients, 100).toFixed(2); // => '2.95'
 * ```
 */
export function coastDownTimeS(
  span: { readonly fromMps: number; readonly toMps: number },
  coefficients: CoastDownCoefficients,
  effectiveMassKg: number,
): number {
  const { fromMps, toMps } = span;
  requireCoast(coefficients, effectiveMassKg);
  if (!(fromMps > toMps && toMps >= 0 && Number.isFinite(fromMps))) {
    throw new PullproofError('E_COAST', `speed must fall, given ${fromMps} to ${toMps} m/s.`, {}, 'Give the higher speed first.');
  }
  if (!resistedThroughout(fromMps, toMps, coefficients)) return Number.POSITIVE_INFINITY;
  const { constantN: a, linearNPerMps: b, quadraticNPerMps2: c } = coefficients;
  const delta = fromMps - toMps;
  const below = 2 * a + b * (fromMps + toMps) + 2 * c * fromMps * toMps;
  const square = 4 * a * c - b * b;
  const root = Math.sqrt(Math.abs(square));
  const x = (root * delta) / below;
  if (Math.abs(x) < 1e-6 && below > 0) return (2 * effectiveMassKg * delta * (1 - (Math.sign(square) * x * x) / 3)) / below;
  if (square > 0) return (2 * effectiveMassKg * Math.atan2(root * delta, below)) / root;
  return (2 * effectiveMassKg * Math.atanh(x)) / root;
}

/**
 * Speed after coasting for a time, the inverse of {@link coastDownTimeS}, in closed form.
 *
 * @param timeS s, from the start
 * @param startMps speed at the start, m/s
 * @param coefficients N, N/(m/s), N/(m/s)²
 * @param effectiveMassKg mass with the inertia of all that spins, kg
 * @returns m/s; 0 from the moment the car stands. Downhill or with the wind behind it the car may speed up.
 * @throws E_COAST for a negative time or speed, a mass that is not positive, or numbers that are not finite
 *
 * Validity: as {@link coastDownTimeS}.
 *
 * @example
 * ```ts
 * import { coastDownSpeedMps } from '@pullproof/core';
 * coastDownSpeedMps(10, 30, { constantN: 150, linearNPerMps: 0, quadraticNPerMps2: 0 }, 1500); // => 29
 * ```
 */
export function coastDownSpeedMps(timeS: number, startMps: number, coefficients: CoastDownCoefficients, effectiveMassKg: number): number {
  requireCoast(coefficients, effectiveMassKg);
  if (!(timeS >= 0 && startMps >= 0 && Number.isFinite(timeS) && Number.isFinite(startMps))) {
    throw new PullproofError('E_COAST', `time and speed must not be negative, given ${timeS} s and ${startMps} m/s.`, {}, 'Correct them.');
  }
  if (startMps > 0 && timeS >= coastDownTimeS({ fromMps: startMps, toMps: 0 }, coefficients, effectiveMassKg)) return 0;
  return freeSpeedMps(timeS, startMps, coefficients, effectiveMassKg);
}

/** As {@link coastDownSpeedMps} without looking whether the car stands: negative then, and smooth in all arguments, as a fit needs it. */
export function freeSpeedMps(timeS: number, startMps: number, coefficients: CoastDownCoefficients, effectiveMassKg: number): number {
  const { constantN: a, linearNPerMps: b, quadraticNPerMps2: c } = coefficients;
  const square = 4 * a * c - b * b;
  const half = timeS / (2 * effectiveMassKg);
  const x = Math.sqrt(Math.abs(square)) * half;
  const cosine = square > 0 ? Math.cos(x) : Math.cosh(x);
  const sineOverRoot = x < 1e-6 ? half : (square > 0 ? Math.sin(x) : Math.sinh(x)) * (half / x);
  return (startMps * cosine - sineOverRoot * (2 * a + b * startMps)) / (cosine + sineOverRoot * (b + 2 * c * startMps));
}

function resistedThroughout(fromMps: number, toMps: number, coefficients: CoastDownCoefficients): boolean {
  const { linearNPerMps: b, quadraticNPerMps2: c } = coefficients;
  const lowest = c > 0 ? Math.min(fromMps, Math.max(toMps, -b / (2 * c))) : toMps;
  return [fromMps, toMps, lowest].every((speedMps) => coastDownForceN(speedMps, coefficients) > 0);
}

function requireCoast({ constantN, linearNPerMps, quadraticNPerMps2 }: CoastDownCoefficients, effectiveMassKg: number): void {
  if (Number.isFinite(constantN + linearNPerMps + quadraticNPerMps2) && effectiveMassKg > 0 && Number.isFinite(effectiveMassKg)) return;
  throw new PullproofError(
    'E_COAST',
    `coefficients must be finite and effective mass positive, given ${constantN}, ${linearNPerMps}, ${quadraticNPerMps2} and ${effectiveMassKg} kg.`,
    {},
    'Check the units of the coefficients.',
  );
}
