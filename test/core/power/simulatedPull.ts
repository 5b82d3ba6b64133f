import { randomStream } from '../../../packages/core/src/maths/index.js';
import type { MotionPull, PullConditions } from '../../../packages/core/src/power/index.js';

export const radPerSPerRpm: number = Math.PI / 30;
export const rpmPerMps = 160;

/** Wheel torque that drives the pulls, N·m at engine speed: most at 4300 rpm. */
export const humped = (rpm: number): number => 330 * (1 - 0.25 * ((rpm - 4300) / 2500) ** 2);

/** A car against headwind, drag and rolling resistance, without readings. */
export const plainPull: MotionPull = {
  massKg: 1600,
  rotatingFactor: 1.08,
  dragKgPerM: 0.4,
  steadyN: 190,
  windMps: 2,
  rpmPerMps,
  spans: [],
};

/** Conditions of such a car in still air, all of them exact. */
export const exactConditions: PullConditions = {
  massKg: { value: 1600, spread: 0 },
  ownMassSpreadKg: 0,
  rotatingFactor: { value: 1.08, spread: 0 },
  airDensityKgPerM3: 1.17,
  dragAreaM2: { value: 0.8 / 1.17, spread: 0 },
  rollingCoefficient: { value: 190 / (1600 * 9.80665), spread: 0 },
  windMps: { value: 0, spread: 0 },
  grade: { value: 0, spread: 0 },
  speedScaleSpread: 0,
  carKey: 'car',
  runKey: 'run',
  windKey: 'outing',
  gradeKey: 'road',
};

/** Engine speed over time (s, road speed times the ratio) by small Euler–Heun steps of the balance of power, apart from the product's integrator. */
export function drivenRpm(
  pull: MotionPull,
  torqueNm: (engineRpm: number) => number,
  options: { readonly startRpm: number; readonly toTimeS: number },
): (timeS: number) => number {
  const { massKg, rotatingFactor, dragKgPerM, steadyN, windMps, rpmPerMps, coupling, gradeChangeN } = pull;
  // (m k_r v + I ω dω/dv) dv/dt = T ω − F v, with ω the engine's own speed.
  const rate = (n: number): number => {
    const v = n / rpmPerMps;
    const omega = (coupling === undefined ? n : coupling.engineRpm(n)) * radPerSPerRpm;
    const omegaPerV = rpmPerMps * radPerSPerRpm * (coupling === undefined ? 1 : coupling.slope(n));
    const forceN = dragKgPerM * (v + windMps) * Math.abs(v + windMps) + steadyN + (gradeChangeN === undefined ? 0 : gradeChangeN(n));
    const inertia = massKg * rotatingFactor * v + (coupling === undefined ? 0 : coupling.engineInertiaKgM2 * omega * omegaPerV);
    return (rpmPerMps * (torqueNm(omega / radPerSPerRpm) * omega - forceN * v)) / inertia;
  };
  const h = 5e-4;
  const path = [options.startRpm];
  for (let k = 0; k * h <= options.toTimeS + h; k++) {
    const n = path[k]!;
    const first = rate(n);
    path.push(n + (h / 2) * (first + rate(n + h * first)));
  }
  return (timeS) => {
    const at = timeS / h;
    const k = Math.min(Math.max(Math.floor(at + 1e-9), 0), path.length - 2);
    return path[k]! + (at - k) * (path[k + 1]! - path[k]!);
  };
}

/** A pull with its readings: engine speed at a rate, from one engine speed to another, with independent errors. */
export function recordedPull(
  pull: MotionPull,
  torqueNm: (engineRpm: number) => number,
  options: { readonly seed: number; readonly noiseRpm: number; readonly hz: number; readonly fromRpm: number; readonly toRpm: number },
): MotionPull {
  const { seed, noiseRpm, hz, fromRpm, toRpm } = options;
  const truth = drivenRpm(pull, torqueNm, { startRpm: fromRpm, toTimeS: 12 });
  const error = errors(seed, noiseRpm);
  let count = 0;
  while (truth(count / hz) < toRpm) count++;
  const timeS = Float64Array.from({ length: count }, (_, k) => k / hz);
  return { ...pull, spans: [[{ timeS, engineSpeedRpm: timeS.map((t) => truth(t) + error()), noiseRpm: Math.max(noiseRpm, 0.1) }]] };
}

/** Time stamps from one time to another at a rate. */
export function stamps(fromS: number, toS: number, hz: number): Float64Array {
  return Float64Array.from({ length: Math.floor((toS - fromS) * hz + 1e-9) + 1 }, (_, i) => fromS + i / hz);
}

/** Independent normal errors of one size. */
export function errors(seed: number, deviation: number): () => number {
  const stream = randomStream(seed);
  return () => deviation * stream.normal();
}
