import { type Channel, channelsOf, type Quantity, quantityUnits } from '../log/index.js';
import type { PullTrace, TraceChannel } from '../result/index.js';
import { readingsBetween } from '../stretches/index.js';
import type { FittedSetup } from './fittedSetup.js';
import type { TrialPull } from './trialPull.js';
import { absoluteValues } from './truePressure.js';

/** How much of the recording before and after a pull is kept, s. */
const leadS = 1.5;
/** Longest recording that is kept whole, s: a pull of minutes is a mistake of its time column, and no picture. */
const longestS = 60;
/** More rows than this are thinned: no screen shows them. */
const mostRows = 1500;
/** Engine speed needs five digits; nothing that is drawn needs more. */
const digits = 5;

/** What a tuner looks at along a pull, in the order in which it is read. */
const shown: readonly (readonly Quantity[])[] = [
  ['engine-speed'],
  ['road-speed', 'gps-speed', 'wheel-speed'],
  ['pedal', 'throttle'],
  ['manifold-pressure'],
  ['lambda'],
  ['commanded-lambda'],
  ['spark-advance'],
  ['knock-retard'],
  ['charge-temperature', 'intake-temperature'],
  ['fuel-pressure'],
  ['injector-duty'],
];

/**
 * The readings of every pull, used or not, for a picture.
 *
 * @param setups with their pulls, in the order of the result
 * @returns one for each pull; of several channels of one kind the first that has readings there, but every bank of lambda
 */
export function pullTraces(setups: readonly FittedSetup[]): PullTrace[] {
  return setups.flatMap(({ pulls }, setup) => pulls.map((one, pull) => ({ setup, pull, ...traceOf(one) })));
}

function traceOf(pull: TrialPull): Omit<PullTrace, 'setup' | 'pull'> {
  const { startS } = pull.pull;
  const fromS = startS - leadS;
  const toS = Math.min(pull.pull.endS, startS + longestS) + leadS;
  const found = shown.flatMap((quantities) => readOf(pull, quantities, fromS, toS));
  const all = [...new Set(found.flatMap(({ timeS }) => Array.from(timeS)))].sort((a, b) => a - b);
  const step = Math.max(1, Math.ceil(all.length / mostRows));
  const times = all.filter((_, row) => row % step === 0);
  const rows = new Map(times.map((timeS, row) => [timeS, row]));
  const shift = (timeS: number): number => Math.round((timeS - startS) * 1000) / 1000;
  const { targetLambda, leanestLambda } = pull.run.inputs;
  return {
    timeS: times.map(shift),
    channels: found.map(({ channel, timeS, values }): TraceChannel => {
      const value: (number | null)[] = new Array(times.length).fill(null);
      timeS.forEach((time, at) => {
        const row = rows.get(time);
        if (row !== undefined) value[row] = Number(values[at]!.toPrecision(digits));
      });
      return {
        quantity: channel.quantity!,
        name: channel.name,
        unit: quantityUnits[channel.quantity!],
        value,
        refreshS: channel.refreshS?.median ?? null,
      };
    }),
    used: pull.prepared === null ? [] : pull.pull.spans.map((span) => ({ fromS: shift(span.fromS), toS: shift(span.toS) })),
    cuts: pull.pull.cuts.map((cut) => ({ fromS: shift(cut.fromS), toS: shift(cut.toS), reason: cut.reason })),
    limits: { targetLambda, leanestLambda },
  };
}

interface Found {
  readonly channel: Channel;
  readonly timeS: Float64Array;
  readonly values: Float64Array;
}

/** The first channel of these kinds with readings in the pull; of lambda every bank. */
function readOf(pull: TrialPull, quantities: readonly Quantity[], fromS: number, toS: number): Found[] {
  const found = quantities
    .flatMap((quantity) => channelsOf(pull.log, quantity))
    .map((logged): Found => {
      const channel =
        logged.reference === 'gauge' && logged.quantity === 'manifold-pressure'
          ? { ...logged, values: absoluteValues(logged, pull.run.inputs.stationPressurePa.value) }
          : logged;
      const { timeS, values } = readingsBetween(pull.log, channel, fromS, toS);
      return { channel, timeS, values };
    })
    .filter(({ values }) => values.length > 0);
  return quantities[0] === 'lambda' ? found : found.slice(0, 1);
}
