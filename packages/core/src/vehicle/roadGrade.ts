import { cholesky, choleskyInverse, choleskyLogDeterminant, forwardSubstitute } from '../maths/index.js';
import type { Estimate } from './coastRun.js';

/** Altitude along one drive over a road, as a receiver gave it. */
export interface AltitudePass {
  /** Times of fresh readings, rising, s. */
  readonly timeS: ArrayLike<number>;
  /** Distance driven by then, m. */
  readonly distanceM: ArrayLike<number>;
  readonly altitudeM: ArrayLike<number>;
  /** Step of the readings, m; 0 when fine. */
  readonly quantumM: number;
}

/** Grade of the road under one pass, uphill positive as driven: in the middle of its distance, and at its end less at its start. */
export interface PassGrade {
  readonly grade: Estimate;
  readonly change: Estimate;
  readonly lengthM: number;
}

/** What all passes of one receiver say. */
export interface RoadGradeFit {
  readonly passes: readonly PassGrade[];
  /** Standard deviation of a reading by itself, m. */
  readonly noiseM: number;
  /** Growth of the wandering error: its standard deviation after one second, m. */
  readonly driftM: number;
  readonly readings: number;
}

/** Weak beliefs about a receiver, as standard deviations with a factor of one standard deviation either way; common practice, no source. */
const usualNoise = { value: 0.3, factor: 3 };
const usualDrift = { value: 0.15, factor: 3 };
/** A receiver's climb may be off steadily without showing within a pass. Receivers' datasheets print 0.05 m/s for speed (from memory). */
const steadyClimbMps = 0.05;
/** Readings of a pass that the fit takes; more say little about a wandering error. */
const mostReadings = 60;
const unknowns = 3;

interface Prepared {
  readonly size: number;
  readonly timeS: Float64Array;
  readonly altitudeM: Float64Array;
  /** Columns 1, u, u²/(2L) with u the distance from the middle and L the length. */
  readonly columns: readonly Float64Array[];
  readonly lengthM: number;
  readonly durationS: number;
  readonly quantumM: number;
  readonly leastNoiseM: number;
}

/**
 * Grade along passes over a road from altitude against distance, h = h₀ + g u + Δ u²/(2L), by generalised least squares.
 *
 * The error of a reading is noise plus a random walk, which is how a receiver's slow error looks over some seconds; both sizes are found from
 * all passes together by restricted maximum likelihood. A steady error of the climb, which no pass shows by itself, is added.
 *
 * @param passes of one receiver, each with 5 readings or more over at least 3 s and 30 m
 * @returns for each pass the grade in its middle and its change along it, with one standard uncertainty; NaN for a pass that is too short
 *
 * Validity: grade that changes evenly along a pass. A barometric altitude is no altitude in a moving car.
 * Source: [HARVILLE1977] for the likelihood; sizes of a receiver's errors beforehand: common practice, no source.
 *
 * @example
 * ```ts
 * import { fitRoadGrade } from '@pullproof/core';
 * const timeS = Array.from({ length: 40 }, (_, i) => i / 5);
 * const distanceM = timeS.map((t) => 20 * t + 2 * t * t);
 * const altitudeM = distanceM.map((s, i) => 87 + 0.012 * s + 0.05 * Math.sin(7 * i));
 * fitRoadGrade([{ timeS, distanceM, altitudeM, quantumM: 0 }]).passes[0]!.grade.value.toFixed(3); // => '0.012'
 * ```
 */
export function fitRoadGrade(passes: readonly AltitudePass[]): RoadGradeFit {
  const prepared = passes.map(prepare);
  const usable = prepared.filter((pass) => pass !== null);
  const { noiseM, driftM } = chooseNoise(usable);
  return {
    passes: prepared.map((pass): PassGrade => {
      if (pass === null) return { grade: unknown, change: unknown, lengthM: Number.NaN };
      const { estimate, covariance } = solve(pass, noiseM, driftM)!;
      // A slow climb meets so few steps that their rounding is no noise: its two ends may be off by q/√12 each.
      const rounding = pass.quantumM / Math.sqrt(6) / pass.lengthM;
      const climb = Math.hypot((steadyClimbMps * pass.durationS) / pass.lengthM, rounding);
      return {
        grade: { value: estimate[1]!, spread: Math.hypot(Math.sqrt(covariance[unknowns + 1]!), climb) },
        change: { value: estimate[2]!, spread: Math.sqrt(covariance[2 * unknowns + 2]!) },
        lengthM: pass.lengthM,
      };
    }),
    noiseM,
    driftM,
    readings: usable.reduce((sum, { size }) => sum + size, 0),
  };
}

const unknown: Estimate = { value: Number.NaN, spread: Number.NaN };

function prepare({ timeS, distanceM, altitudeM, quantumM }: AltitudePass): Prepared | null {
  const count = timeS.length;
  const step = Math.max(1, Math.ceil(count / mostReadings));
  const kept = Array.from({ length: Math.floor((count - 1) / step) + 1 }, (_, i) => i * step).filter((i) =>
    Number.isFinite(timeS[i]! + distanceM[i]! + altitudeM[i]!),
  );
  const size = kept.length;
  if (size < 5) return null;
  const [first, last] = [kept[0]!, kept[size - 1]!];
  const lengthM = distanceM[last]! - distanceM[first]!;
  const durationS = timeS[last]! - timeS[first]!;
  if (!(durationS >= 3 && lengthM >= 30)) return null;
  const middleM = (distanceM[first]! + distanceM[last]!) / 2;
  const u = Float64Array.from(kept, (i) => distanceM[i]! - middleM);
  return {
    size,
    timeS: Float64Array.from(kept, (i) => timeS[i]! - timeS[first]!),
    altitudeM: Float64Array.from(kept, (i) => altitudeM[i]! - altitudeM[first]!),
    columns: [u.map(() => 1), u, u.map((value) => (value * value) / (2 * lengthM))],
    lengthM,
    durationS,
    quantumM,
    leastNoiseM: Math.max(quantumM / Math.sqrt(12), 0.01),
  };
}

/** Generalised least squares for given sizes of the error, with −2 × the restricted log-likelihood. */
function solve(
  pass: Prepared,
  noiseM: number,
  driftM: number,
): { readonly estimate: Float64Array; readonly covariance: Float64Array; readonly deviance: number } | null {
  const { size, timeS, altitudeM, columns, leastNoiseM } = pass;
  const variance = new Float64Array(size * size);
  for (let i = 0; i < size; i++) {
    for (let j = 0; j <= i; j++) variance[i * size + j] = driftM ** 2 * timeS[j]! + (i === j ? Math.max(noiseM, leastNoiseM) ** 2 : 0);
  }
  const lower = cholesky(variance, size);
  if (lower === null) return null;
  const white = columns.map((column) => forwardSubstitute(lower, size, column));
  const readings = forwardSubstitute(lower, size, altitudeM);
  const dot = (a: Float64Array, b: Float64Array): number => a.reduce((sum, value, i) => sum + value * b[i]!, 0);
  const normal = Float64Array.from({ length: unknowns * unknowns }, (_, k) => dot(white[Math.floor(k / unknowns)]!, white[k % unknowns]!));
  const factor = cholesky(normal, unknowns);
  if (factor === null) return null;
  const covariance = choleskyInverse(factor, unknowns);
  const right = white.map((column) => dot(column, readings));
  const estimate = Float64Array.from({ length: unknowns }, (_, a) =>
    right.reduce((sum, r, b) => sum + covariance[a * unknowns + b]! * r, 0),
  );
  const explained = right.reduce((sum, r, a) => sum + r * estimate[a]!, 0);
  const deviance = choleskyLogDeterminant(lower, size) + choleskyLogDeterminant(factor, unknowns) + dot(readings, readings) - explained;
  return { estimate, covariance, deviance };
}

/** Sizes of noise and drift that all passes together say, by search over both logarithms. */
function chooseNoise(passes: readonly Prepared[]): { readonly noiseM: number; readonly driftM: number } {
  const belief = (log: number, { value, factor }: { readonly value: number; readonly factor: number }): number =>
    ((log - Math.log(value)) / Math.log(factor)) ** 2;
  const cost = (noise: number, drift: number): number =>
    passes.reduce(
      (sum, pass) => sum + (solve(pass, Math.exp(noise), Math.exp(drift))?.deviance ?? Number.POSITIVE_INFINITY),
      belief(noise, usualNoise) + belief(drift, usualDrift),
    );
  let at: readonly [number, number] = [Math.log(usualNoise.value), Math.log(usualDrift.value)];
  let best = cost(...at);
  for (let step = 0.8; step > 0.05; step /= 2) {
    for (let moved = true; moved; ) {
      moved = false;
      for (const [n, d] of [
        [step, 0],
        [-step, 0],
        [0, step],
        [0, -step],
      ] as const) {
        const next = [at[0] + n, at[1] + d] as const;
        const value = cost(...next);
        if (value < best - 1e-6) {
          best = value;
          at = next;
          moved = true;
        }
      }
    }
  }
  return { noiseM: Math.exp(at[0]), driftM: Math.exp(at[1]) };
}
