import type { Finding, Place } from '../../../findings/index.js';
import type { Channel } from '../../log.js';
import { shownName } from '../../text/shownName.js';
import type { Quantity } from '../../words/quantities.js';

/** Quantities that move whenever an engine runs, and how long they must stand still to be called stuck, s. */
const restless: ReadonlyMap<Quantity, number> = new Map<Quantity, number>([
  ['engine-speed', 1],
  ['road-speed', 1],
  ['gps-speed', 1],
  ['wheel-speed', 1],
  ['manifold-pressure', 1],
  ['blower-inlet-pressure', 2],
  ['lambda', 1],
  ['air-mass-flow', 1],
  ['load', 1],
  ['spark-advance', 1],
  ['injector-pulse-width', 1],
  ['acceleration', 1],
  ['fuel-pressure', 1],
  ['fuel-mass-flow', 1],
  ['fuel-volume-flow', 1],
  ['battery-voltage', 10],
  ['intake-temperature', 30],
  ['charge-temperature', 30],
  ['exhaust-temperature', 5],
  ['rotor-speed', 1],
]);

/** Speeds at rest and flows of a stopped engine are no fault. */
const mayBeZero: ReadonlySet<Quantity> = new Set<Quantity>([
  'road-speed',
  'gps-speed',
  'wheel-speed',
  'engine-speed',
  'air-mass-flow',
  'injector-pulse-width',
  'fuel-mass-flow',
  'fuel-volume-flow',
  'rotor-speed',
]);

/**
 * Channels that never move although they must: at least 20 fresh readings over the time that its kind allows, all the same; or one that stops for good in a
 * recording in which it otherwise hardly ever repeats.
 */
export function findStuck(channels: readonly Channel[], timeS: Float64Array, where: Place): Finding[] {
  const found: Finding[] = [];
  const engine = channels.find(({ quantity }) => quantity === 'engine-speed') ?? null;
  for (const channel of channels) {
    const leastS = channel.quantity === null ? undefined : restless.get(channel.quantity);
    if (leastS === undefined) continue;
    const run = longestRun(channel, timeS, channel === engine ? null : engine);
    if (run === null || run.readings < 20 || run.toS - run.fromS < leastS) continue;
    if (run.value === 0 && channel.quantity !== null && mayBeZero.has(channel.quantity)) continue;
    const whole = run.readings === run.of;
    if (!whole && !(run.repeatsElsewhere < 0.2 && run.readings > 50 && run.toS - run.fromS > 3)) continue;
    found.push({
      code: 'W_STUCK',
      severity: 'warning',
      message: `"${shownName(channel.name)}" reads the same ${whole ? 'throughout' : `for ${(run.toS - run.fromS).toFixed(1)} s`}, in ${run.readings} readings.`,
      where: { ...where, channel: channel.name, fromTimeS: run.fromS, toTimeS: run.toS },
      fix: 'Check the sensor, and ignore this channel there.',
      count: run.readings,
    });
  }
  return found;
}

/** Slower than a starter turns an engine. */
const engineOffRpm = 50;

interface Run {
  readonly value: number;
  readonly readings: number;
  readonly of: number;
  readonly fromS: number;
  readonly toS: number;
  /** Share of the other readings that repeat the one before. */
  readonly repeatsElsewhere: number;
}

/** @param engine engine speed: readings with the engine off may well stand still */
function longestRun({ values, fresh }: Channel, timeS: Float64Array, engine: Channel | null): Run | null {
  let best = { start: -1, end: -1, readings: 0 };
  let start = -1;
  let readings = 0;
  let before = Number.NaN;
  let all = 0;
  let repeats = 0;
  for (let i = 0; i < values.length; i++) {
    const value = values[i]!;
    if (fresh[i] === 0 || Number.isNaN(value)) continue;
    if (engine !== null && engine.values[i]! < engineOffRpm) {
      before = Number.NaN;
      continue;
    }
    all++;
    if (value === before) {
      readings++;
      repeats++;
    } else {
      start = i;
      readings = 1;
    }
    before = value;
    if (readings > best.readings) best = { start, end: i, readings };
  }
  if (best.readings === 0) return null;
  const others = all - best.readings;
  return {
    value: values[best.start]!,
    readings: best.readings,
    of: all,
    fromS: timeS[best.start]!,
    toS: timeS[best.end]!,
    repeatsElsewhere: others === 0 ? 1 : (repeats - best.readings + 1) / others,
  };
}
