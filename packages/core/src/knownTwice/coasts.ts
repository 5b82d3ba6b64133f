import type { LoadedRun } from '../pulls/index.js';
import { quantileOf, readingsBetween } from '../stretches/index.js';
import { STANDARD_GRAVITY } from '../vehicle/index.js';

/** Left off a coast's ends: the clutch still opens, or closes again. */
const trimmedS = 0.5;
const leastReadings = 15;
const leastSpeedMps = 5;
/** What spinning wheels add to the mass in neutral. Source: [GILLESPIE1992]. */
const wheelShare = 1.04;
/** Entered wind and grade may be off by so much; where they were not entered, what is seen is what counts. Common practice, no source. */
const mostSpread = { windMps: 0.5, grade: 0.001 };

/** One coast in neutral. */
export interface Coast {
  readonly run: LoadedRun;
  readonly speedsMps: readonly number[];
  /** Slowing as logged, and as the trial's weight, road load, wind and grade make it, m/s². */
  readonly seen: number;
  readonly told: number;
  /** Standard uncertainty of the logarithm of their ratio, by wind and grade. */
  readonly spread: number;
}

/** Coasts of a run. */
export function coastsOf(run: LoadedRun): Coast[] {
  const { inputs, log, found } = run;
  const { road } = found.signals;
  if (road === null) return [];
  const [from, to] = [inputs.fromTimeS ?? Number.NEGATIVE_INFINITY, inputs.toTimeS ?? Number.POSITIVE_INFINITY];
  return found.others.flatMap((stretch): Coast[] => {
    if (stretch.kind !== 'coast' || stretch.startS < from || stretch.endS > to) return [];
    const { timeS, values } = readingsBetween(log, road.channel, stretch.startS + trimmedS, stretch.endS - trimmedS);
    const kept = Array.from(timeS.keys()).filter((i) => values[i]! > leastSpeedMps);
    if (kept.length < leastReadings) return [];
    const seen = lineSlowing(
      kept.map((i) => timeS[i]!),
      kept.map((i) => values[i]!),
    );
    const speedsMps = kept.map((i) => values[i]!);
    const base = { run, speedsMps, seen };
    const told = toldSlowing(base);
    if (!(seen > 0 && told > 0)) return [];
    const wind = Math.min(inputs.windMps.spread, mostSpread.windMps);
    const grade = Math.min(inputs.grade.spread, mostSpread.grade);
    const byWind = toldSlowing(base, { windMps: inputs.windMps.value + wind }) - told;
    const spread = Math.hypot(byWind, STANDARD_GRAVITY * grade) / told;
    return [{ ...base, told, spread }];
  });
}

/** Mean slowing over a coast by the trial, m/s², with other wind or grade where those are given. */
export function toldSlowing(
  { run, speedsMps }: Pick<Coast, 'run' | 'speedsMps'>,
  instead: { readonly windMps?: number; readonly grade?: number } = {},
): number {
  const { massKg, airDensityKgPerM3, dragAreaM2, rollingCoefficient, windMps, grade } = run.inputs;
  const slowing = speedsMps.map((speed) => {
    const air = speed + (instead.windMps ?? windMps.value);
    const drag = (0.5 * airDensityKgPerM3.value * dragAreaM2.value * air * Math.abs(air)) / massKg.value;
    return (drag + STANDARD_GRAVITY * (rollingCoefficient.value + (instead.grade ?? grade.value))) / wheelShare;
  });
  return quantileOf(slowing, 0.5);
}

/** Fall of speed with time by least squares, m/s². */
function lineSlowing(timeS: readonly number[], speedMps: readonly number[]): number {
  const n = timeS.length;
  const meanT = timeS.reduce((sum, t) => sum + t, 0) / n;
  const meanV = speedMps.reduce((sum, v) => sum + v, 0) / n;
  const over = timeS.reduce((sum, t, i) => sum + (t - meanT) * (speedMps[i]! - meanV), 0);
  return -over / timeS.reduce((sum, t) => sum + (t - meanT) ** 2, 0);
}
