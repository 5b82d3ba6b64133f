import { PullproofError } from '../../findings/index.js';
import { combineBanks, type SteadyHealth, type SteadyReadings, steadyHealth } from '../../fuel/index.js';
import { channelsOf, findChannel, freshSamples, type Log, type Quantity } from '../../log/index.js';
import { joined } from '../../maths/index.js';
import { absoluteValues } from '../../pulls/index.js';
import { type FoundStretches, rowsOf } from '../../stretches/index.js';

/** A log with its stretches, and the weather's pressure where it is known. */
export interface SteadySource {
  readonly log: Log;
  readonly found: FoundStretches;
  readonly stationPressurePa: number;
}

/** After a stretch begins the engine still settles, s. Common practice, no source. */
const settleS = 1;
/** Below this the engine is cold, and its idle is another one. Common practice, no source. */
const warmK = 343;

/**
 * Sums up the warm idle or the steady cruise of logs, every stretch of it put together.
 *
 * @param sources logs of one setup, or one log
 * @param kind idle or cruise
 * @returns null where there is too little of it to judge
 */
export function steadyOf(sources: readonly SteadySource[], kind: 'idle' | 'cruise'): SteadyHealth | null {
  const parts: SteadyReadings[] = [];
  let offsetS = 0;
  for (const source of sources) {
    for (const stretch of source.found.others) {
      if (stretch.kind !== kind || isCold(source.log, stretch)) continue;
      const { from, to } = rowsOf(source.log, { startS: stretch.startS + settleS, endS: stretch.endS });
      if (to - from < 2) continue;
      const part = readingsOf(source, from, to, offsetS - source.log.timeS[from]!);
      parts.push(part);
      // Far enough on that no mean over two seconds takes readings of two stretches.
      offsetS = 2 * Math.ceil((part.timeS.at(-1)! + 2) / 2);
    }
  }
  if (parts.length === 0) return null;
  const together = (key: Exclude<keyof SteadyReadings, 'timeS'>): Float64Array | null =>
    parts.some((part) => part[key]) ? joined(parts.map((part) => part[key] ?? new Float64Array(part.timeS.length).fill(Number.NaN))) : null;
  try {
    return steadyHealth({
      timeS: joined(parts.map(({ timeS }) => timeS)),
      engineSpeedRpm: together('engineSpeedRpm')!,
      manifoldPressurePa: together('manifoldPressurePa'),
      lambda: together('lambda'),
      commandedLambda: together('commandedLambda'),
      shortTermTrim: together('shortTermTrim'),
      longTermTrim: together('longTermTrim'),
    });
  } catch (cause) {
    if (cause instanceof PullproofError && cause.code === 'E_TOO_FEW_SAMPLES') return null;
    throw cause;
  }
}

/** True where the coolant says that the engine is not warm yet. */
export function isCold(log: Log, stretch: { readonly startS: number; readonly endS: number }): boolean {
  const coolant = findChannel(log, 'coolant-temperature');
  if (coolant === null) return false;
  const { from, to } = rowsOf(log, stretch);
  const { values } = freshSamples(log, coolant, from, to);
  return values.length > 0 && values.reduce((sum, value) => sum + value, 0) / values.length < warmK;
}

function readingsOf({ log, stationPressurePa }: SteadySource, from: number, to: number, shiftS: number): SteadyReadings {
  const fresh = (quantity: Quantity): Float64Array | null => {
    const channel = findChannel(log, quantity);
    if (channel === null) return null;
    const pressure = quantity === 'manifold-pressure' ? { ...channel, values: absoluteValues(channel, stationPressurePa) } : channel;
    return onRows(log, pressure, from, to);
  };
  const banks = channelsOf(log, 'lambda');
  const commanded = fresh('commanded-lambda');
  return {
    timeS: log.timeS.slice(from, to).map((t) => t + shiftS),
    engineSpeedRpm: fresh('engine-speed')!,
    manifoldPressurePa: fresh('manifold-pressure'),
    lambda: banks.length === 0 ? null : combineBanks(banks.map((channel) => onRows(log, channel, from, to))).lambda,
    // What is wanted seldom moves here, so it holds until it is said again.
    commandedLambda: commanded === null ? null : held(commanded),
    shortTermTrim: heldOrNull(fresh('short-term-fuel-trim')),
    longTermTrim: heldOrNull(fresh('long-term-fuel-trim')),
  };
}

function onRows(log: Log, channel: Parameters<typeof freshSamples>[1], from: number, to: number): Float64Array {
  const out = new Float64Array(to - from).fill(Number.NaN);
  const { rows, values } = freshSamples(log, channel, from, to);
  rows.forEach((row, i) => {
    out[row - from] = values[i]!;
  });
  return out;
}

function heldOrNull(values: Float64Array | null): Float64Array | null {
  return values === null ? null : held(values);
}

/** Each value until the next one; before the first one, that first one. */
function held(values: Float64Array): Float64Array {
  let last = values.find(Number.isFinite) ?? Number.NaN;
  return values.map((value) => {
    if (Number.isFinite(value)) last = value;
    return last;
  });
}
