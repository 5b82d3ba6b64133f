import { readingsAt } from '../fuel/index.js';
import { type Channel, findChannel, freshSamples, onceForEach, type Quantity } from '../log/index.js';
import type { CurveResult } from '../result/index.js';
import { nullable } from '../result/index.js';
import { readingsOnCeiling } from '../sensors/index.js';
import { type LocatedPull, pullReadings, type QuantityCurve, quantityCurve } from '../stretches/index.js';
import { halfAtPoint } from '../uncertainty/index.js';
import type { LoadedRun } from './loadedRun.js';
import type { FoundCeiling } from './logCeilings.js';
import type { TrialPull } from './trialPull.js';
import { absoluteValues } from './truePressure.js';

/** What is drawn against engine speed, as a channel of a run's log; null where the log has none. */
export type ChannelOfRun = (run: LoadedRun) => Channel | null;

/** The channel of a quantity, the first of these that is logged with a reading; a pressure as absolute pressure by the run's own weather. */
export function channelOf(quantities: readonly Quantity[]): ChannelOfRun {
  const key = quantities.join();
  let channel = byQuantities.get(key);
  if (channel === undefined) {
    channel = onceForEach(({ log, inputs }) => {
      const logged = quantities.flatMap((quantity) => findChannel(log, quantity) ?? [])[0] ?? null;
      if (logged?.reference !== 'gauge') return logged;
      return { ...logged, values: absoluteValues(logged, inputs.stationPressurePa.value), reference: 'absolute' };
    });
    byQuantities.set(key, channel);
  }
  return channel;
}

/** The same question of a run is asked for many curves. */
const byQuantities = new Map<string, ChannelOfRun>();

const absolutePressure = channelOf(['manifold-pressure']);

/** Boost: manifold pressure above the weather's at that time and place. */
export const boostChannel: ChannelOfRun = onceForEach((run) => {
  const channel = absolutePressure(run);
  const stationPa = run.inputs.stationPressurePa.value;
  return channel === null ? null : { ...channel, values: channel.values.map((pa) => pa - stationPa), reference: 'gauge' };
});

/** Manifold over inlet pressure, both absolute: the blower's inlet where it was logged, the weather's otherwise. */
export const ratioChannel: ChannelOfRun = onceForEach((run) => {
  const channel = absolutePressure(run);
  if (channel === null) return null;
  const inletPa = inletPressure(run);
  return { ...channel, values: channel.values.map((pa, row) => pa / inletPa[row]!), reference: null, unit: '' };
});

function inletPressure({ log, inputs }: LoadedRun): Float64Array {
  const stationPa = inputs.stationPressurePa.value;
  const channel = findChannel(log, 'blower-inlet-pressure');
  if (channel === null) return new Float64Array(log.rows).fill(stationPa);
  const { timeS, values } = freshSamples(log, { ...channel, values: absoluteValues(channel, stationPa) });
  return readingsAt(timeS, values, log.timeS);
}

/** A curve over pulls, and where readings on a ceiling take part in it. */
export interface PullsCurve {
  readonly curve: QuantityCurve;
  readonly bounds: readonly ('at-least' | 'at-most' | null)[];
}

/** Mean of a channel over pulls at equal engine speed; null where no pull has a reading. */
export function pullsCurve(
  pulls: readonly TrialPull[],
  channel: ChannelOfRun,
  gridRpm: Float64Array,
  ceilings: readonly FoundCeiling[],
  quantity: Quantity,
): PullsCurve | null {
  const curve = quantityCurve(
    pulls.map((pull) => ({ ...pull, channel: channel(pull.run) })),
    gridRpm,
  );
  if (curve?.mean.every(Number.isNaN) !== false) return null;
  return { curve, bounds: boundsOf(pulls, gridRpm, ceilings, quantity) };
}

/** Engine speeds near which a reading that rests on a ceiling lies. */
function boundsOf(
  pulls: readonly TrialPull[],
  gridRpm: Float64Array,
  ceilings: readonly FoundCeiling[],
  quantity: Quantity,
): ('at-least' | 'at-most' | null)[] {
  const bounds: ('at-least' | 'at-most' | null)[] = Array.from(gridRpm, () => null);
  for (const pull of pulls) {
    for (const { ceiling, channel } of ceilings.filter((one) => one.quantity === quantity && one.logs.has(pull.log))) {
      const logged = pull.log.channels.find(({ name }) => name === channel);
      if (logged === undefined) continue;
      const readings = pullReadings(pull satisfies LocatedPull, logged);
      const on = readingsOnCeiling(readings.values, ceiling);
      on.forEach((flag, i) => {
        if (flag === 0) return;
        gridRpm.forEach((rpm, k) => {
          if (Math.abs(rpm - readings.engineSpeedRpm[i]!) <= reachRpm) bounds[k] = ceiling.side === 'upper' ? 'at-least' : 'at-most';
        });
      });
    }
  }
  return bounds;
}

/** How far a reading reaches along the grid. */
const reachRpm = 75;

/** The curve with a pointwise band from the spread between pulls. Where readings rest on a ceiling the value is a bound and the band is open to that side. */
export function channelCurve(
  pulls: readonly TrialPull[],
  channel: ChannelOfRun,
  gridRpm: Float64Array,
  ceilings: readonly FoundCeiling[],
  quantity: Quantity,
): CurveResult | null {
  const made = pullsCurve(pulls, channel, gridRpm, ceilings, quantity);
  if (made === null) return null;
  const { curve, bounds } = made;
  const half = curve.mean.map((_, i) => {
    const count = curve.count[i]!;
    return count < 2 ? Number.NaN : halfAtPoint(curve.pullToPull[i]! / Math.sqrt(count), count - 1);
  });
  const bounded = bounds.some((bound) => bound !== null);
  return {
    engineSpeedRpm: Array.from(gridRpm),
    value: Array.from(curve.mean, nullable),
    low: Array.from(curve.mean, (value, i) =>
      bounds[i] === 'at-most' ? null : nullable(bounds[i] === 'at-least' ? value : value - half[i]!),
    ),
    high: Array.from(curve.mean, (value, i) =>
      bounds[i] === 'at-least' ? null : nullable(bounds[i] === 'at-most' ? value : value + half[i]!),
    ),
    level: 0.95,
    simultaneous: false,
    bound: bounds.includes('at-least') ? 'at-least' : null,
    ...(bounded ? { boundAt: bounds } : {}),
  };
}
