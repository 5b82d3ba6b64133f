import { PullproofError } from '../findings/index.js';

/** Readings of a warm idle or a steady cruise. Arrays share `timeS`; NaN where a row brings none; null or left out where not logged. */
export interface SteadyReadings {
  readonly timeS: Float64Array;
  readonly engineSpeedRpm: Float64Array;
  /** Absolute. */
  readonly manifoldPressurePa?: Float64Array | null;
  readonly lambda?: Float64Array | null;
  /** Default lambda 1 where it was not logged. */
  readonly commandedLambda?: Float64Array | null;
  readonly shortTermTrim?: Float64Array | null;
  readonly longTermTrim?: Float64Array | null;
}

/** Mean of a quantity over a stretch, with how sure it is and how much it moves. */
export interface SteadyMean {
  readonly mean: number;
  /** Standard error, from means over two seconds. */
  readonly standardError: number;
  /** Standard deviation of a reading. */
  readonly spread: number;
  readonly readings: number;
}

export interface SteadyHealth {
  readonly durationS: number;
  readonly engineSpeedRpm: SteadyMean;
  readonly manifoldPressurePa: SteadyMean | null;
  readonly lambda: SteadyMean | null;
  /** Lambda over commanded, less 1: what the mixture still misses. */
  readonly leanShare: SteadyMean | null;
  /** (1 + short)(1 + long) − 1: what the control already adds. */
  readonly trim: SteadyMean | null;
  /** Lambda over commanded times (1 + short)(1 + long), less 1: fuel missing from the table; without trims the lean share alone. */
  readonly missingFuel: SteadyMean | null;
}

/**
 * Sums up a warm idle or a steady cruise: speed, pressure, lambda, trims, each with its spread.
 *
 * @param readings one stretch or several put together
 * @returns means; null for what was not logged or has fewer than ten readings
 * @throws E_LENGTHS, E_TOO_FEW_SAMPLES with fewer than ten readings of engine speed or less than four seconds
 *
 * Uncertainty: neighbours are not independent; the standard error rests on means over two seconds.
 */
export function steadyHealth(readings: SteadyReadings): SteadyHealth {
  const { timeS } = readings;
  const optional = [
    readings.manifoldPressurePa,
    readings.lambda,
    readings.commandedLambda,
    readings.shortTermTrim,
    readings.longTermTrim,
    readings.engineSpeedRpm,
  ];
  if (optional.some((one) => one !== null && one !== undefined && one.length !== timeS.length)) {
    throw new PullproofError('E_LENGTHS', 'The readings differ in length.', {}, 'Give arrays of one length.');
  }
  const engineSpeedRpm = steadyMean(timeS, readings.engineSpeedRpm);
  const durationS = timeS.length === 0 ? 0 : timeS.at(-1)! - timeS[0]!;
  if (engineSpeedRpm === null || durationS < 4) {
    throw new PullproofError(
      'E_TOO_FEW_SAMPLES',
      `${durationS.toFixed(1)} s of idle or cruise are too few to judge.`,
      {},
      'Log at least half a minute of warm idle, and as much steady cruise.',
    );
  }
  const { lambda, commandedLambda, shortTermTrim, longTermTrim } = readings;
  const lean = lambda ? lambda.map((value, i) => value / (commandedLambda ? commandedLambda[i]! : 1) - 1) : null;
  const trim =
    shortTermTrim || longTermTrim
      ? timeS.map((_, i) => (1 + (shortTermTrim ? shortTermTrim[i]! : 0)) * (1 + (longTermTrim ? longTermTrim[i]! : 0)) - 1)
      : null;
  const leanShare = lean ? steadyMean(timeS, lean) : null;
  const trimMean = trim ? steadyMean(timeS, trim) : null;
  return {
    durationS,
    engineSpeedRpm,
    manifoldPressurePa: readings.manifoldPressurePa ? steadyMean(timeS, readings.manifoldPressurePa) : null,
    lambda: lambda ? steadyMean(timeS, lambda) : null,
    leanShare,
    trim: trimMean,
    missingFuel: joined(leanShare, trimMean),
  };
}

/** The two may be logged in different rows, so their means are joined, not their rows. */
function joined(lean: SteadyMean | null, trim: SteadyMean | null): SteadyMean | null {
  if (lean === null || trim === null) return lean;
  return {
    mean: (1 + lean.mean) * (1 + trim.mean) - 1,
    standardError: Math.hypot(lean.standardError * (1 + trim.mean), trim.standardError * (1 + lean.mean)),
    spread: Math.hypot(lean.spread, trim.spread),
    readings: Math.min(lean.readings, trim.readings),
  };
}

function steadyMean(timeS: Float64Array, values: Float64Array): SteadyMean | null {
  const read: number[] = [];
  const blocks = new Map<number, { sum: number; n: number }>();
  for (let i = 0; i < values.length; i++) {
    if (!Number.isFinite(values[i]!)) continue;
    read.push(values[i]!);
    const key = Math.floor(timeS[i]! / 2);
    const block = blocks.get(key) ?? { sum: 0, n: 0 };
    block.sum += values[i]!;
    block.n += 1;
    blocks.set(key, block);
  }
  if (read.length < 10) return null;
  const mean = read.reduce((sum, value) => sum + value, 0) / read.length;
  const spread = Math.sqrt(read.reduce((sum, value) => sum + (value - mean) ** 2, 0) / (read.length - 1));
  const means = [...blocks.values()].map((block) => block.sum / block.n);
  const ofMeans = means.reduce((sum, value) => sum + value, 0) / means.length;
  const blockSpread =
    means.length < 2 ? spread : Math.sqrt(means.reduce((sum, value) => sum + (value - ofMeans) ** 2, 0) / (means.length - 1));
  return { mean, spread, readings: read.length, standardError: blockSpread / Math.sqrt(means.length) };
}
