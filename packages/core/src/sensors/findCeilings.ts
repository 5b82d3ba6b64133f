import { PullproofError } from '../findings/index.js';
import {
  type CeilingSeries,
  ceilingSegments,
  countStep,
  type Run,
  runsAt,
  type Segment,
  upperCandidates,
  visitsTo,
} from './ceilingCandidate.js';
import { type CeilingEvidence, ceilingEvidence } from './ceilingEvidence.js';
import { ceilingScore } from './ceilingScore.js';

/** Options of {@link findCeilings}. */
export interface CeilingOptions {
  /** Which end to look at. Default `upper`. */
  readonly side?: 'upper' | 'lower';
  /** Step of one count, in the unit of the values; 0 or left out finds it from the values. */
  readonly quantum?: number;
  /** Standard deviation by which a living reading drifts in half a second. Default a quarter of a percent of the level, which suits absolute manifold pressure. */
  readonly breathing?: number;
  /** Absolute pressure of the weather: a full-load plateau there is the atmosphere’s own. Give it for absolute manifold pressure only. */
  readonly stationPressurePa?: number | null;
  /** Limits that are known beforehand (a sensor’s full scale): a level there needs less proof. */
  readonly knownLimits?: readonly { readonly name: string; readonly value: number }[];
}

/** Readings in a row that rest on a ceiling. */
export interface CeilingRun {
  /** Which of the series. */
  readonly series: number;
  /** First and last row in it. */
  readonly fromRow: number;
  readonly toRow: number;
}

/** A level at which readings stop, though what they measure need not. */
export interface Ceiling {
  readonly side: 'upper' | 'lower';
  /** In the unit of the values. */
  readonly value: number;
  /** Step of one count. */
  readonly quantum: number;
  /** `possible`: fewer than twelve readings or two visits, or evidence that falls a little short. */
  readonly certainty: 'found' | 'possible';
  /** Readings that rest on it. */
  readonly readings: number;
  /** Separate pulls that reach it. */
  readonly visits: number;
  readonly runs: readonly CeilingRun[];
  /** How far from the value readings on it may lie by jitter. */
  readonly toleranceBelow: number;
  /** Where the clamp seems to sit, when the value tells; null otherwise. */
  readonly place: string | null;
  readonly evidence: CeilingEvidence;
  /** Logarithm of the odds, less the bar. */
  readonly score: number;
}

const enoughReadings = 12;
const enoughVisits = 2;
/** Full scales of converters and log channels, in counts. */
const channelEnds = [255, 1023, 4095, 65535];

/**
 * Finds the level at which a channel is cut off: the end of a sensor's range, of a converter, or of the log channel, whatever its value.
 *
 * It is told apart from a flat but living plateau and from an ordinary maximum by five signs: readings pile up on one value, they stay there without dips, the noise seen elsewhere is gone, what jitter is left is white and at most a count, and every pull stands on the same value without drift.
 *
 * @param series one entry a pull or a whole log; fresh readings only, for values that the logger repeats look like a clamp
 * @param options the end to look at, the step of a count, and what is known beforehand
 * @returns at most one ceiling; empty when the readings end in an ordinary way
 * @throws E_LENGTHS when arrays of a series differ in length
 *
 * Validity: jitter of at most one count. A living plateau whose breathing stays within a count cannot be told from a clamp, and a clamp that hides less than about six counts not from a rounded top; both come out as `possible`, or not at all.
 *
 * Source: the signs are those of FORMULAS §10.1 (pile-up, run length, variance collapse, repetition); weights in `ceilingScore`.
 *
 * Uncertainty: found in 99 of 100 simulated clamps with twelve readings in two pulls, claimed in at most 1 of 100 free ones (test/core/sensors/findCeilings.study.test.ts).
 *
 * @example
 * ```ts
 * import { findCeilings } from '@pullproof/core';
 *
 * const pull = (startS: number, gain: number) => {
 *   const timeS = Float64Array.from({ length: 80 }, (_, i) => startS + i / 20);
 *   const values = timeS.map((t, i) => Math.min(200000, Math.round(150 + gain * (t - startS) + Math.sin(7 * i)) * 1000));
 *   return { timeS, values };
 * };
 * findCeilings([pull(0, 20), pull(30, 19), pull(60, 21)])[0].value; // => 200000
 * findCeilings([pull(0, 10), pull(30, 9), pull(60, 11)]); // => []
 * ```
 */
export function findCeilings(series: readonly CeilingSeries[], options: CeilingOptions = {}): Ceiling[] {
  const { side = 'upper', stationPressurePa = null, knownLimits = [] } = options;
  for (const [number, one] of series.entries()) checkLengths(one, number);
  const sign = side === 'upper' ? 1 : -1;
  const turned = sign === 1 ? series : series.map((one) => ({ ...one, values: one.values.map((value) => -value) }));
  const segments = ceilingSegments(turned);
  const count = options.quantum !== undefined && options.quantum > 0 ? options.quantum : countStep(segments);
  if (!(count > 0)) return [];
  let best: Ceiling | null = null;
  for (const level of upperCandidates(segments, count)) {
    if (side === 'upper' && isAtmosphere(level, stationPressurePa)) continue;
    const ceiling = ceilingAt(segments, level, count, side, options.breathing ?? 0.0025 * Math.abs(level), knownLimits);
    if (ceiling !== null && (best === null || ceiling.score > best.score)) best = ceiling;
  }
  return best === null ? [] : [best];
}

function ceilingAt(
  segments: readonly Segment[],
  level: number,
  count: number,
  side: 'upper' | 'lower',
  breathing: number,
  knownLimits: readonly { readonly name: string; readonly value: number }[],
): Ceiling | null {
  const visits = visitsTo(segments, level, count);
  const runs = runsAt(visits, level, count);
  if (runs.reduce((sum, run) => sum + run.to - run.from + 1, 0) < 5) return null;
  const evidence = ceilingEvidence(visits, runs, level, count, breathing);
  const value = side === 'upper' ? level : -level;
  const known = knownLimits.find((limit) => Math.abs(limit.value - value) <= 1.5 * count);
  const code = channelEnds.find((end) => Math.abs(value / count - end) < 0.75);
  const score = ceilingScore(evidence) + (known !== undefined || code !== undefined ? knownBonus : 0);
  // A NaN in the evidence must never come out as a verdict.
  if (!(score > possibleAbove)) return null;
  const counts = visits.map((visit) => visit.values.filter((reading) => reading >= level - 1.25 * count).length);
  const readings = counts.reduce((sum, readingsHere) => sum + readingsHere, 0);
  const reached = counts.filter((readingsHere) => readingsHere >= 2).length;
  const enough = readings >= enoughReadings && reached >= enoughVisits;
  return {
    side,
    value,
    quantum: count,
    certainty: enough && score > 0 ? 'found' : 'possible',
    readings,
    visits: reached,
    runs: runs.map((run) => rowsOf(run, visits)),
    toleranceBelow: (evidence.noiseAtLevelCounts > 0 ? 1.25 : 0.4) * count,
    place: known?.name ?? (code === undefined ? null : `the end of a range of ${code} counts`),
    evidence,
    score,
  };
}

/** A known full scale makes a clamp twenty times likelier beforehand: ln 20. */
const knownBonus = 3;
const possibleAbove = -1.5;

function isAtmosphere(level: number, stationPressurePa: number | null): boolean {
  return stationPressurePa !== null && level > 0.92 * stationPressurePa && level < stationPressurePa + 2000;
}

function rowsOf(run: Run, segments: readonly Segment[]): CeilingRun {
  const segment = segments[run.segment]!;
  return { series: segment.series, fromRow: segment.rows[run.from]!, toRow: segment.rows[run.to]! };
}

function checkLengths(series: CeilingSeries, number: number): void {
  const rpm = series.engineSpeedRpm ?? null;
  if (series.values.length === series.timeS.length && (rpm === null || rpm.length === series.timeS.length)) return;
  throw new PullproofError(
    'E_LENGTHS',
    `Series ${number} has ${series.timeS.length} times, ${series.values.length} values${rpm === null ? '' : `, ${rpm.length} engine speeds`}.`,
    {},
    'Give arrays of one length.',
  );
}

/**
 * Marks the readings that rest on a ceiling: each of them means "at least" (or "at most", for a floor).
 *
 * @param values readings of one series
 * @param ceiling from {@link findCeilings}
 * @returns 1 where the reading is a bound, 0 elsewhere and where it is NaN
 */
export function readingsOnCeiling(values: Float64Array, ceiling: Ceiling): Uint8Array {
  return Uint8Array.from(values, (value) => {
    const beyond = ceiling.side === 'upper' ? value - ceiling.value : ceiling.value - value;
    return beyond >= -ceiling.toleranceBelow ? 1 : 0;
  });
}
