import { cholesky, choleskyInverse, localPolynomial, lowerBound } from '../maths/index.js';
import type { MotionSignals, Readings } from '../stretches/index.js';
import { calibrateSlow } from './calibrateSlow.js';
import type { SpeedCalibration } from './speedCalibration.js';

/** Slower than this, the bend of engine speed between its readings counts, s. */
const slowS = 0.12;

interface Span {
  readonly fromS: number;
  readonly toS: number;
}

/**
 * Fits road speed to engine speed in one gear, allowing for a delay of the road-speed channel: v(t) = (n(t) − τ ṅ(t)) / κ.
 *
 * A pure ratio would take the delay of a filtered wheel-speed signal for gearing: 0.2 s at 3 m/s² are 0.6 m/s.
 *
 * @param signals Engine and road speed.
 * @param spans Used parts of pulls in this gear.
 * @returns κ in rpm per m/s with its error, or null where road speed is missing or fewer than 8 readings serve; few readings go another way, see {@link calibrateSlow}.
 */
export function calibrateSpeed(signals: Pick<MotionSignals, 'engine' | 'road'>, spans: readonly Span[]): SpeedCalibration | null {
  const { engine, road } = signals;
  if (engine === null || road === null) return null;
  if (Math.max(engine.channel.refreshS?.median ?? 0, road.channel.refreshS?.median ?? 0) > slowS) return calibrateSlow(signals, spans);
  const rows = spans.flatMap((span) => pairs(engine, road, span));
  if (rows.length < 8) return null;
  let weights = rows.map(() => 1);
  let fit = solve(rows, weights);
  for (let round = 0; round < 4 && fit !== null; round++) {
    const residuals = rows.map((row) => row.speedMps - fit!.perRpm * row.rpm - fit!.perRate * row.rate);
    const sizes = residuals.map(Math.abs).sort((a, b) => a - b);
    const scale = Math.max(1.4826 * sizes[Math.floor(sizes.length / 2)]!, road.channel.quantum / Math.sqrt(12), 1e-4);
    weights = residuals.map((residual) => Math.min(1, (2 * scale) / Math.max(Math.abs(residual), 1e-12)));
    fit = solve(rows, weights);
  }
  if (fit === null) return null;
  return {
    rpmPerMps: 1 / fit.perRpm,
    relativeError: fit.perRpmError / fit.perRpm,
    delayS: -fit.perRate / fit.perRpm,
    readings: rows.length,
  };
}

interface Row {
  readonly speedMps: number;
  readonly rpm: number;
  readonly rate: number;
}

function pairs(engine: Readings, road: Readings, span: Span): Row[] {
  const rows: Row[] = [];
  const halfWidth = Math.max(0.4, 2.6 * (engine.channel.refreshS?.median ?? 0));
  for (let i = lowerBound(road.timeS, span.fromS); i < road.timeS.length && road.timeS[i]! <= span.toS; i++) {
    const fit = localPolynomial(engine.timeS, engine.values, road.timeS[i]!, { halfWidth, order: 1 });
    if (fit !== null && road.values[i]! > 3) rows.push({ speedMps: road.values[i]!, rpm: fit.value, rate: fit.slope });
  }
  return rows;
}

function solve(rows: readonly Row[], weights: readonly number[]): { perRpm: number; perRate: number; perRpmError: number } | null {
  let nn = 0;
  let nr = 0;
  let rr = 0;
  let nv = 0;
  let rv = 0;
  for (let i = 0; i < rows.length; i++) {
    const row = rows[i]!;
    const w = weights[i]!;
    nn += w * row.rpm * row.rpm;
    nr += w * row.rpm * row.rate;
    rr += w * row.rate * row.rate;
    nv += w * row.rpm * row.speedMps;
    rv += w * row.rate * row.speedMps;
  }
  // A delay of 0.3 s is as far as the recording is believed before the data insist.
  const noise = 0.1;
  const perRpmGuess = nv / nn;
  rr += (noise / (0.3 * perRpmGuess)) ** 2;
  const lower = cholesky(Float64Array.of(nn, 0, nr, rr), 2);
  if (lower === null) return null;
  const inverse = choleskyInverse(lower, 2);
  const perRpm = inverse[0]! * nv + inverse[1]! * rv;
  const perRate = inverse[2]! * nv + inverse[3]! * rv;
  let squares = 0;
  let weight = 0;
  for (let i = 0; i < rows.length; i++) {
    const row = rows[i]!;
    squares += weights[i]! * (row.speedMps - perRpm * row.rpm - perRate * row.rate) ** 2;
    weight += weights[i]!;
  }
  const variance = squares / Math.max(1, weight - 2);
  return { perRpm, perRate, perRpmError: Math.sqrt(variance * inverse[0]!) };
}
