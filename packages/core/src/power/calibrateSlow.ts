import { cubicThrough, lowerBound } from '../maths/index.js';
import type { MotionSignals } from '../stretches/index.js';
import { cutOffShare } from './cutOffSpeed.js';
import type { SpeedCalibration } from './speedCalibration.js';

interface Span {
  readonly fromS: number;
  readonly toS: number;
}

/** Lags that are tried beyond what is known of the lag already, s, and how far it may be off before the data insist. */
const lagRangeS = 0.6;
const lagStepS = 0.02;
const lagSpreadS = 0.15;
/** Factor on the variance for what is not in the model: a filter instead of a plain lag, readings shown a while after they were taken. Chosen on the study of slow loggers. */
const addedByFilters = 2;
/** Readings of road speed that serve. */
const leastReadings = 5;

/**
 * Fits ratio and lag of road speed together where readings are few: engine speed runs along a cubic through its own readings, as its bend between them
 * counts; a straight line over it would take 1 to 5 % of the ratio.
 *
 * v(t) = n(t − τ) / κ − offset, τ weighed by how well each fits and by what is known of it. Whole steps may be cut off or rounded: both are tried and
 * weighed by what steady driving tells of it, because in a pull half a step and a lag look alike; what they differ in stays in the error.
 *
 * @returns Ratio with its error, mean over all lags and both ways of rounding; null with fewer than 5 readings that serve.
 *
 * Validity: one gear; the readings of engine speed in a span resolve its bend (three or more).
 * Source: mean over models by their posterior weights: Gelman et al., Bayesian Data Analysis, 3rd ed. (2013), sec. 7.
 */
export function calibrateSlow({ engine, road }: Pick<MotionSignals, 'engine' | 'road'>, spans: readonly Span[]): SpeedCalibration | null {
  if (engine === null || road === null) return null;
  const { quantum } = road.channel;
  const places = spans.map((span) => ({
    from: lowerBound(engine.timeS, span.fromS),
    to: lowerBound(engine.timeS, span.toS + 1e-9),
  }));
  const rowsAt = (lagS: number): Row[] =>
    places.flatMap((place) => {
      const rows: Row[] = [];
      if (place.to - place.from < 3) return rows;
      const endS = engine.timeS[place.to - 1]! + lagS;
      for (let i = lowerBound(road.timeS, engine.timeS[place.from]! + lagS); i < road.timeS.length && road.timeS[i]! <= endS; i++) {
        const rpm = cubicThrough(engine.timeS, engine.values, road.timeS[i]! - lagS, place);
        if (rpm > 0 && road.values[i]! > 3) rows.push({ rpm, speedMps: road.values[i]! });
      }
      return rows;
    });
  const usual = rowsAt(0).length;
  if (usual < leastReadings) return null;
  const cutOff = cutOffShare({ engine, road });
  const kinds = [
    { offset: 0, share: 1 - cutOff },
    { offset: quantum / 2, share: cutOff },
  ].filter(({ share }) => share > 0);
  const sums = { ratio: 0, square: 0, lag: 0, offset: 0 };
  for (const { offset, share } of kinds) {
    const models: { lagS: number; ratio: number; variance: number; cost: number }[] = [];
    for (let lagS = -lagRangeS; lagS <= lagRangeS + 1e-9; lagS += lagStepS) {
      const rows = rowsAt(lagS);
      if (rows.length < Math.max(leastReadings, 0.6 * usual)) continue;
      const { ratio, variance, meanCost } = ratioOf(rows, offset, Math.max(quantum / Math.sqrt(12), 0.03));
      models.push({ lagS, ratio, variance, cost: (usual * meanCost) / 2 + (lagS / lagSpreadS) ** 2 / 2 });
    }
    if (models.length === 0) return null;
    const least = Math.min(...models.map(({ cost }) => cost));
    const weights = models.map(({ cost }) => Math.exp(least - cost));
    const all = weights.reduce((sum, weight) => sum + weight, 0);
    models.forEach(({ lagS, ratio, variance }, k) => {
      const weight = (share * weights[k]!) / all;
      sums.ratio += weight * ratio;
      sums.square += weight * (ratio * ratio + variance);
      sums.lag += weight * lagS;
    });
    sums.offset += share * offset;
  }
  const variance = addedByFilters * (sums.square - sums.ratio ** 2);
  return {
    rpmPerMps: sums.ratio,
    relativeError: Math.sqrt(Math.max(0, variance)) / sums.ratio,
    delayS: sums.lag,
    readings: usual,
    offsetMps: sums.offset,
  };
}

interface Row {
  readonly rpm: number;
  readonly speedMps: number;
}

/** Ratio through the readings, those that lie far off counting less; `meanCost` is of a reading, in units of its logarithm of likelihood doubled. */
function ratioOf(rows: readonly Row[], offset: number, leastNoiseMps: number): { ratio: number; variance: number; meanCost: number } {
  let weights = rows.map(() => 1);
  let perRpm = 0;
  let scale = leastNoiseMps;
  let nn = 0;
  for (let round = 0; round < 4; round++) {
    nn = 0;
    let nv = 0;
    for (const [i, { rpm, speedMps }] of rows.entries()) {
      nn += weights[i]! * rpm * rpm;
      nv += weights[i]! * rpm * (speedMps + offset);
    }
    perRpm = nv / nn;
    const sizes = rows.map(({ rpm, speedMps }) => Math.abs(speedMps + offset - perRpm * rpm));
    scale = Math.max(1.4826 * sizes.toSorted((a, b) => a - b)[sizes.length >> 1]!, leastNoiseMps);
    weights = sizes.map((size) => Math.min(1, (2.5 * scale) / Math.max(size, 1e-12)));
  }
  let squares = 0;
  let weight = 0;
  for (const [i, { rpm, speedMps }] of rows.entries()) {
    squares += weights[i]! * (speedMps + offset - perRpm * rpm) ** 2;
    weight += weights[i]!;
  }
  const noise = Math.max(squares / Math.max(1, weight - 2), leastNoiseMps ** 2);
  const meanSquare = squares / weight;
  return {
    ratio: 1 / perRpm,
    variance: noise / nn / perRpm ** 4,
    meanCost: Math.log(meanSquare + leastNoiseMps ** 2 / 4),
  };
}
