import { randomStream } from '../../../packages/core/src/maths/index.js';
import type { MotionPull } from '../../../packages/core/src/power/index.js';

const radPerSPerRpm = Math.PI / 30;

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

/** Time stamps from one time to another at a rate. */
export function stamps(fromS: number, toS: number, hz: number): Float64Array {
  return Float64Array.from({ length: Math.floor((toS - fromS) * hz + 1e-9) + 1 }, (_, i) => fromS + i / hz);
}

/** Independent normal errors of one size. */
export function errors(seed: number, deviation: number): () => number {
  const stream = randomStream(seed);
  return () => deviation * stream.normal();
}
