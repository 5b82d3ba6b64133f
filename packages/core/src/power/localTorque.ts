import { localPolynomial } from '../maths/index.js';
import type { MotionPull, SpeedReadings } from './motion.js';

/** Wheel torque referred to engine speed at one reading, from the slope around it. */
export interface LocalTorque {
  readonly engineSpeedRpm: number;
  readonly torqueNm: number;
  /** Standard deviation from the readings' noise, N·m. */
  readonly noiseNm: number;
  /** Where the window stands, s, half its width, and how fast engine speed rises there, rpm/s. */
  readonly timeS: number;
  readonly halfWidthS: number;
  readonly rateRpmPerS: number;
}

/** Least time between places where the slope is taken: windows that overlap nearly whole say nothing new. */
const spacingS = 0.05;

/**
 * Wheel torque along a pull by differentiating engine speed with a local polynomial on the recorded time stamps.
 * The window is the shortest that brings the noise of the slope to 3 % of the slope, within 0.3 s to 2 s each side.
 *
 * The starting point of {@link fitTorque}, its cross-check, and what stands in where it has no solution; noisier than it, and blunter at
 * features shorter than the window.
 *
 * @returns One value a reading of the first channel, at least 0.05 s apart, where the window has support on both sides; power is torque × rpm × π/30.
 */
export function localTorque(pull: MotionPull): LocalTorque[] {
  return pull.spans.flatMap((span) => spanTorque(pull, span[0]!));
}

function spanTorque(pull: MotionPull, readings: SpeedReadings): LocalTorque[] {
  const { timeS, engineSpeedRpm, noiseRpm } = readings;
  if (timeS.length < 5) return [];
  const halfWidth = windowS(readings);
  const out: LocalTorque[] = [];
  const kappa = pull.rpmPerMps;
  const inertia = pull.massKg * pull.rotatingFactor;
  const radPerS = Math.PI / 30;
  const last = timeS[timeS.length - 1]!;
  let latestS = Number.NEGATIVE_INFINITY;
  for (let i = 0; i < timeS.length; i++) {
    if (timeS[i]! - latestS < spacingS - 1e-9) continue;
    if (timeS[i]! - timeS[0]! < halfWidth / 2 || last - timeS[i]! < halfWidth / 2) continue;
    const fit = localPolynomial(timeS, engineSpeedRpm, timeS[i]!, { halfWidth });
    if (fit === null || !(fit.value > 0)) continue;
    latestS = timeS[i]!;
    const airMps = fit.value / kappa + pull.windMps;
    const { coupling } = pull;
    const engineRpm = coupling === undefined ? fit.value : coupling.engineRpm(fit.value);
    const gain = engineRpm / fit.value;
    const engineKg = coupling === undefined ? 0 : coupling.engineInertiaKgM2 * (radPerS * kappa) ** 2 * gain * coupling.slope(fit.value);
    const perTorque = kappa * radPerS * gain;
    const forceN =
      ((inertia + engineKg) * fit.slope) / kappa +
      pull.dragKgPerM * airMps * Math.abs(airMps) +
      pull.steadyN +
      (pull.gradeChangeN?.(fit.value) ?? 0);
    out.push({
      engineSpeedRpm: engineRpm,
      torqueNm: forceN / perTorque,
      noiseNm: (((inertia + engineKg) / kappa) * noiseRpm * Math.sqrt(fit.slopeVariance)) / perTorque,
      timeS: timeS[i]!,
      halfWidthS: halfWidth,
      rateRpmPerS: fit.slope * (coupling === undefined ? 1 : coupling.slope(fit.value)),
    });
  }
  return out;
}

/** Half-width of the window from the noise, the refresh time and the mean slope. */
function windowS({ timeS, engineSpeedRpm, noiseRpm }: SpeedReadings): number {
  const last = timeS.length - 1;
  const duration = timeS[last]! - timeS[0]!;
  const refreshS = duration / last;
  const slope = Math.abs(engineSpeedRpm[last]! - engineSpeedRpm[0]!) / duration;
  // Variance of a straight-line slope over a window 2h: 12 σ² Δt / (2h)³.
  const wanted = 0.03 * Math.max(slope, 1e-6);
  const halfWidth = 0.5 * Math.cbrt((12 * noiseRpm * noiseRpm * refreshS) / (wanted * wanted));
  return Math.min(Math.max(halfWidth, 0.3, 3.2 * refreshS), Math.max(2, 3.2 * refreshS), duration / 2);
}

/**
 * Smooth first guess of torque against engine speed from local values of several pulls.
 *
 * @returns A function of engine speed: kernel-weighted median-free mean over 300 rpm, the overall mean where there is nothing near.
 */
export function torqueGuess(values: readonly LocalTorque[]): (rpm: number) => number {
  const usable = values.filter((value) => value.torqueNm > 0);
  const mean = usable.length === 0 ? 100 : usable.reduce((sum, value) => sum + value.torqueNm, 0) / usable.length;
  return (rpm) => {
    let weight = 1e-6;
    let sum = 1e-6 * mean;
    for (const value of usable) {
      const u = (value.engineSpeedRpm - rpm) / 300;
      if (Math.abs(u) >= 1) continue;
      const w = (1 - u * u) / (value.noiseNm * value.noiseNm + 1e-9);
      weight += w;
      sum += w * value.torqueNm;
    }
    return sum / weight;
  };
}
