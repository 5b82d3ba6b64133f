import { findChannel, freshSamples, type Log } from '../../log/index.js';
import type { RunInputs } from '../../trial/index.js';

/** How the engine was held before the car left. */
export interface SeenLaunch {
  /** A launch limiter with the pedal down, a converter against the brakes, or a clutch and a steady foot. */
  readonly kind: 'two-step' | 'converter' | 'clutch';
  readonly engineSpeedRpm: number;
  /** 0–1; null where it was not logged. */
  readonly pedal: number | null;
}

/** Seconds before the first movement that are looked at. */
const heldS = 0.8;
/** Held where engine speed scatters by no more than this share; a pedal beyond this is down. Common practice, no source. */
const steadyShare = 0.06;
const pedalDown = 0.7;
const aboveIdleRpm = 1400;

/**
 * Engine speed that was held at rest just before the first movement, and by what.
 *
 * @param log of the pass
 * @param restS last time at rest
 * @param transmission as entered
 * @returns null where engine speed was not logged or not held above idle
 */
export function launchInLog(log: Log, restS: number, transmission: RunInputs['transmission']): SeenLaunch | null {
  const speeds = valuesIn(log, 'engine-speed', restS);
  if (speeds.length < 3) return null;
  const mean = meanOf(speeds);
  const scatter = Math.sqrt(meanOf(speeds.map((rpm) => (rpm - mean) ** 2)));
  if (!(mean > aboveIdleRpm && scatter < steadyShare * mean)) return null;
  const pedals = [valuesIn(log, 'pedal', restS), valuesIn(log, 'throttle', restS)].find((values) => values.length > 0);
  const pedal = pedals === undefined ? null : meanOf(pedals);
  const kind = transmission === 'automatic' ? 'converter' : pedal !== null && pedal > pedalDown ? 'two-step' : 'clutch';
  return { kind, engineSpeedRpm: mean, pedal };
}

function valuesIn(log: Log, quantity: 'engine-speed' | 'pedal' | 'throttle', untilS: number): number[] {
  const channel = findChannel(log, quantity);
  if (channel === null) return [];
  const { timeS, values } = freshSamples(log, channel);
  return Array.from(values).filter((_, i) => timeS[i]! > untilS - heldS && timeS[i]! <= untilS);
}

function meanOf(values: readonly number[]): number {
  return values.reduce((sum, value) => sum + value, 0) / values.length;
}
