import type { Log, Quantity } from '../log/index.js';
import { channelsOf, freshSamples } from '../log/index.js';
import { type MotionSignals, quantileOf, type Readings } from './signals.js';

/** A channel that tells how much the driver asks of the engine, with the level that counts as full. */
export interface Demand {
  readonly readings: Readings;
  /** Value at rest. */
  readonly rest: number;
  /** Value fully applied. */
  readonly full: number;
  /** From here on it counts as full load; Infinity where the recording never comes near. */
  readonly threshold: number;
  /** Why this channel was believed, in words for people. */
  readonly evidence: string;
}

const order: readonly { readonly quantity: Quantity; readonly leastFull: number }[] = [
  { quantity: 'pedal', leastFull: 0.6 },
  { quantity: 'throttle', leastFull: 0.6 },
  { quantity: 'load', leastFull: 0.6 },
];

/**
 * Finds the channel that tells full load. A pedal or throttle that stands high while the car idles, rolls or slows says nothing
 * (a diesel's flap, a throttle driven by wire) and is passed over.
 *
 * @returns The first believable channel of pedal, throttle, load; else manifold pressure; null where none tells.
 */
export function demandOf(signals: MotionSignals): Demand | null {
  const quiet = quietTimes(signals);
  let never: Demand | null = null;
  for (const { quantity, leastFull } of order) {
    for (const readings of widestFirst(signals.log, quantity)) {
      const full = quantileOf(readings.values, 1);
      const rest = restOf(readings, quiet, full);
      if (rest === null || !(full - rest > 0.05)) continue;
      if (full < leastFull) {
        const evidence = `${quantity} (${readings.channel.name}) never goes beyond ${percent(full)}: no full load`;
        never ??= { readings, rest, full, threshold: Number.POSITIVE_INFINITY, evidence };
        continue;
      }
      return {
        readings,
        rest,
        full,
        threshold: rest + 0.85 * (full - rest),
        evidence: `${quantity} (${readings.channel.name}) rests at ${percent(rest)} and reaches ${percent(full)}`,
      };
    }
  }
  return never ?? pressureDemand(signals);
}

function percent(share: number): string {
  return `${(100 * share).toFixed(0)} %`;
}

function widestFirst(log: Log, quantity: Quantity): Readings[] {
  const found = channelsOf(log, quantity).map((channel) => ({ channel, ...freshSamples(log, channel) }));
  const width = (readings: Readings): number => quantileOf(readings.values, 0.995) - quantileOf(readings.values, 0.005);
  return found.filter((readings) => readings.values.length > 0).sort((a, b) => width(b) - width(a));
}

/** Spans in which the engine surely is not at full load: idling at rest, or losing speed. */
function quietTimes(signals: MotionSignals): readonly { readonly fromS: number; readonly toS: number }[] {
  const { engine, road } = signals;
  const source = engine ?? road;
  if (source === null) return [];
  const spans: { fromS: number; toS: number }[] = [];
  const { timeS, values } = source;
  const least = engine === null ? 1.5 : 150;
  let from = 0;
  for (let i = 1; i < values.length; i++) {
    // A fall by more than `least` within 3 s, or idle speed.
    while (timeS[i]! - timeS[from]! > 3) from++;
    const idling = engine !== null && values[i]! < 1100 && values[i]! > 300;
    if (values[from]! - values[i]! > least || idling) spans.push({ fromS: timeS[i - 1]!, toS: timeS[i]! });
  }
  return spans;
}

/** Typical low value while quiet; null where the channel stands high then (it tells nothing). */
function restOf(readings: Readings, quiet: readonly { readonly fromS: number; readonly toS: number }[], full: number): number | null {
  const low = quantileOf(readings.values, 0.02);
  const during: number[] = [];
  let q = 0;
  for (let i = 0; i < readings.timeS.length; i++) {
    while (q < quiet.length && quiet[q]!.toS < readings.timeS[i]!) q++;
    if (q < quiet.length && quiet[q]!.fromS <= readings.timeS[i]!) during.push(readings.values[i]!);
  }
  const usual = during.length >= 5 ? quantileOf(during, 0.3) : low;
  if (usual > 0.6 * full) return during.length >= 5 ? null : 0;
  return Math.min(low, usual);
}

/** Absolute manifold pressure that full load exceeds on any road: the air at 3,000 m is 70 kPa, less the intake's loss. */
const leastPressureAtFullPa = 62_000;

/** Manifold pressure as a stand-in: full where it is near the highest that the engine holds while gaining speed. */
function pressureDemand(signals: MotionSignals): Demand | null {
  for (const readings of widestFirst(signals.log, 'manifold-pressure')) {
    const full = quantileOf(readings.values, 0.98);
    const rest = quantileOf(readings.values, 0.05);
    if (readings.channel.reference !== 'gauge' && full < leastPressureAtFullPa) {
      const evidence = `manifold pressure (${readings.channel.name}) never goes beyond ${(full / 1000).toFixed(0)} kPa: no full load`;
      return { readings, rest, full, threshold: Number.POSITIVE_INFINITY, evidence };
    }
    if (!(full - rest > 30_000)) continue;
    return {
      readings,
      rest,
      full,
      threshold: rest + 0.85 * (full - rest),
      evidence: `manifold pressure (${readings.channel.name}) from ${(rest / 1000).toFixed(0)} to ${(full / 1000).toFixed(0)} kPa; no pedal, throttle or load tells full load`,
    };
  }
  return null;
}
