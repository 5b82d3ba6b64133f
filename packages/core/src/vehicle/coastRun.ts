import { type Finding, PullproofError } from '../findings/index.js';

/** One neutral coast-down, without brake. */
export interface CoastRun {
  /** Times of fresh readings only, rising, s. */
  readonly timeS: ArrayLike<number>;
  /** Ground speed at those times, m/s. */
  readonly speedMps: ArrayLike<number>;
  /** As driven, kg. */
  readonly massKg: number;
  /** What the spinning wheels add, inertia over radius squared, kg. */
  readonly rotatingMassKg: number;
  readonly airDensityKgPerM3: number;
  /** 1 along the road, −1 back. */
  readonly heading: 1 | -1;
}

/** A number with one standard uncertainty. */
export interface Estimate {
  readonly value: number;
  readonly spread: number;
}

/** Road load found from coast-downs. Drag area and rolling coefficient are those that stand for the whole force, growth included, over the speeds driven. */
export interface CoastDownFit {
  readonly dragAreaM2: Estimate;
  readonly rollingCoefficient: Estimate;
  /** Covariance of drag area and rolling coefficient, m². */
  readonly covarianceM2: number;
  /** Growth of the rolling force with speed, share per m/s, before it was shared out between the two. */
  readonly rollingGrowthPerMps: Estimate;
  /** Wind against heading 1, and grade along it, after the fit. */
  readonly headwindMps: Estimate;
  readonly grade: Estimate;
  /** Standard deviation of a speed reading about the fit. */
  readonly noiseMps: number;
  /** Correlation of neighbouring residuals: near 0 when only noise is left. */
  readonly residualCorrelation: number;
  readonly samples: number;
  readonly iterations: number;
  readonly findings: readonly Finding[];
}

/** Refuses runs that say nothing. */
export function requireRuns(runs: readonly CoastRun[]): void {
  if (runs.length === 0) {
    throw new PullproofError('E_COAST_RUN', 'there is no coast-down.', {}, 'Coast in neutral from the highest fair speed, both ways.');
  }
  runs.forEach((run, index) => {
    const problem = problemOf(run);
    if (problem === null) return;
    throw new PullproofError('E_COAST_RUN', `coast-down ${index + 1}: ${problem}.`, {}, 'Leave it out, or cut it to the part in neutral.');
  });
}

function problemOf({ timeS, speedMps, massKg, rotatingMassKg, airDensityKgPerM3 }: CoastRun): string | null {
  if (timeS.length !== speedMps.length) return `${timeS.length} times but ${speedMps.length} speeds`;
  if (timeS.length < 20) return `${timeS.length} readings are fewer than 20`;
  for (let i = 0; i < timeS.length; i++) {
    if (!Number.isFinite(timeS[i]!) || (i > 0 && !(timeS[i]! > timeS[i - 1]!))) return `time does not rise at reading ${i + 1}`;
    if (!(speedMps[i]! > 0 && Number.isFinite(speedMps[i]!))) return `speed at reading ${i + 1} is ${speedMps[i]!} m/s`;
  }
  if (!(speedMps[speedMps.length - 1]! < 0.9 * speedMps[0]!)) return 'speed falls by less than a tenth';
  const positive = massKg > 0 && rotatingMassKg >= 0 && airDensityKgPerM3 > 0;
  if (!(positive && Number.isFinite(massKg + rotatingMassKg + airDensityKgPerM3))) return 'mass or air density is not a positive number';
  return null;
}

/** Refuses what is known beforehand when it is no number with a spread. */
export function requireKnown(name: string, { value, spread }: Estimate): void {
  if (Number.isFinite(value) && spread > 0 && Number.isFinite(spread)) return;
  throw new PullproofError('E_COAST_RUN', `${name} must be finite with a spread above 0, given ${value} ± ${spread}.`, {}, 'Correct it.');
}
