import { localPolynomial, type YorkPoint, yorkLine } from '../maths/index.js';
import { type MotionSignals, type Pull, quantileOf } from '../stretches/index.js';
import type { LoadedRun } from './loadedRun.js';

/** True ground speed over the road speed that a log shows, at the speeds of its pulls. */
export interface GroundScale {
  readonly factor: number;
  /** One standard uncertainty of the factor. */
  readonly spread: number;
}

/** Noise of a satellite speed, m/s, and by how much it may be late, s; common practice, no source. */
const satelliteNoiseMps = 0.15;
const lateS = 0.5;
/** The same where the lag was told and taken out. */
const leftLateS = 0.1;
/** Beyond this a late reading says nothing of the scale. */
const mostAccelerationMps2 = 1.5;
const leastSpeedMps = 6;
const leastReadings = 15;
/** A scale that is known no better than this is left to the usual spread of a car's own speed. */
const leastPrecision = 0.006;

/**
 * Scale of a car's own road speed from satellite speed that is too slow to serve by itself: a line through both, each with its error.
 * Runs with one kind of road speed and one tyre share a scale, so that its error hardly moves a difference.
 *
 * @param runs Every run of the trial.
 * @returns The scale of each run that has one; none where satellite speed is road speed already, was not logged, or does not tell within 0.6 %.
 *
 * Validity: readings that hardly accelerate; a satellite speed that is late by up to half a second or so.
 * Source: [YORK2004].
 */
export function groundScales(runs: readonly LoadedRun[]): ReadonlyMap<LoadedRun, GroundScale> {
  const groups = new Map<string, LoadedRun[]>();
  for (const run of runs) {
    const { road } = run.found.signals;
    if (road === null || road.channel.quantity === 'gps-speed') continue;
    const key = `${road.channel.quantity} ${road.channel.name} ${run.inputs.tyreRadiusM.value}`;
    groups.set(key, [...(groups.get(key) ?? []), run]);
  }
  const scales = new Map<LoadedRun, GroundScale>();
  for (const group of groups.values()) {
    const logs = new Map(group.map((run) => [run.log, run.found.signals]));
    const points = [...logs.values()].flatMap(pairedSpeeds);
    const speeds = group.flatMap(({ found }) => found.pulls.flatMap(middleSpeedMps));
    const scale = speeds.length === 0 ? null : scaleAt(points, quantileOf(speeds, 0.5));
    if (scale !== null) for (const run of group) scales.set(run, scale);
  }
  return scales;
}

function middleSpeedMps({ fromRpm, toRpm, rpmPerMps }: Pull): number[] {
  return fromRpm === null || toRpm === null || rpmPerMps === null ? [] : [(fromRpm + toRpm) / 2 / rpmPerMps];
}

/** Satellite speed beside road speed wherever the car hardly accelerates. */
function pairedSpeeds({ road, satellite }: MotionSignals): PairedSpeed[] {
  if (road === null || satellite === null) return [];
  const halfWidth = Math.max(0.6, 2.6 * (road.channel.refreshS?.median ?? 1));
  const late = satellite.lagS === undefined ? lateS : leftLateS;
  return Array.from(satellite.timeS).flatMap((timeS, i): PairedSpeed[] => {
    const speedMps = satellite.values[i]!;
    if (!(speedMps >= leastSpeedMps)) return [];
    const here = localPolynomial(road.timeS, road.values, timeS, { halfWidth, order: 1 });
    if (here === null || !(Math.abs(here.slope) <= mostAccelerationMps2)) return [];
    return [
      {
        lateMps: late * here.slope,
        x: here.value,
        y: speedMps,
        xSpread: Math.max(road.channel.quantum / Math.sqrt(12), 0.05),
        ySpread: Math.hypot(satelliteNoiseMps, satellite.channel.quantum / Math.sqrt(12), late * here.slope),
      },
    ];
  });
}

/** A pair with what a satellite speed that is late throughout would be off by, m/s. */
interface PairedSpeed extends YorkPoint {
  readonly lateMps: number;
}

function scaleAt(points: readonly PairedSpeed[], speedMps: number): GroundScale | null {
  const line = points.length < leastReadings ? null : yorkLine(points);
  if (line === null) return null;
  const factor = line.slope + line.intercept / speedMps;
  const variance = line.slopeSpread ** 2 + (line.interceptSpread / speedMps) ** 2 + (2 * line.covariance) / speedMps;
  // Readings that scatter more than they should widen the line as much.
  const widening = Math.max(1, line.squares / (points.length - 2));
  // All are late alike: what speeding up and slowing down do not cancel stays.
  const late = points.reduce((sum, { lateMps }) => sum + lateMps, 0) / points.reduce((sum, { x }) => sum + x, 0);
  const spread = Math.hypot(Math.sqrt(Math.max(0, variance) * widening), late);
  // A factor far from 1 is another unit or another car, not a scale.
  return spread <= leastPrecision && Math.abs(factor - 1) < 0.1 ? { factor, spread } : null;
}
