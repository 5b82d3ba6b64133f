import type { TopEndSign } from '../../boost/index.js';
import { readingsAt } from '../../fuel/index.js';
import { type Channel, findChannel, freshSamples, type Log, onceForEach, type Quantity } from '../../log/index.js';
import type { LoadedRun } from '../../pulls/index.js';
import { absoluteValues, type ChannelOfRun, channelOf, fuelRailOf } from '../../pulls/index.js';
import { engineSpeedOnRows } from '../../stretches/index.js';

/** A sign that is read from channels: which, and how its trend is taken. */
export interface SignSource {
  readonly sign: TopEndSign;
  /** Quantities without which it cannot be had, for what was not logged. */
  readonly needs: readonly Quantity[];
  readonly channel: ChannelOfRun;
  readonly unit: string;
  /** True where the trend is a ratio (its natural logarithm is taken), false where it is a difference in `unit`. */
  readonly relative: boolean;
}

/** Time for which an injector draws current before it delivers: common practice, no source. It hardly moves a comparison. */
const deadTimeS = 0.0009;

/** The signs of the log itself, in the order in which they are told. */
export const signSources: readonly SignSource[] = [
  source('manifold-pressure', ['manifold-pressure'], channelOf(['manifold-pressure']), 'Pa', true),
  source('rotor-ratio', ['rotor-speed'], overEngineSpeed('rotor-speed'), '1', true),
  source('air-per-turn', ['air-mass-flow'], airForEachCycle, 'kg', true),
  source('air-by-fuel', ['injector-pulse-width', 'lambda'], airByFuel, '1', true),
  source('inlet-pressure', ['blower-inlet-pressure'], inletOverWeather, '1', true),
  source('exhaust-pressure', ['exhaust-pressure'], exhaustAbsolute, 'Pa', true),
  source('charge-temperature', ['charge-temperature'], channelOf(['charge-temperature']), 'K', false),
  source('intake-temperature', ['intake-temperature'], channelOf(['intake-temperature']), 'K', false),
  source('spark-advance', ['spark-advance'], channelOf(['spark-advance']), 'deg', false),
  source('knock-retard', ['knock-retard'], withoutSign('knock-retard'), 'deg', false),
  source('mixture', ['lambda'], lambdaOverTarget, '1', true),
  source('fuel-pressure', ['fuel-pressure'], acrossInjectors, 'Pa', true),
  source('throttle', ['throttle'], channelOf(['throttle']), '1', false),
  source('bypass', ['bypass-duty'], channelOf(['bypass-duty']), '1', false),
];

function source(sign: TopEndSign, needs: readonly Quantity[], channel: ChannelOfRun, unit: string, relative: boolean): SignSource {
  return { sign, needs, channel: onceForEach(channel), unit, relative };
}

/** A channel of the log with other values on the same rows. */
function derived(channel: Channel, values: Float64Array): Channel {
  return { ...channel, values, quantum: 0 };
}

/** Readings of a channel on the rows of the log, straight between its own. */
function onRows(log: Log, channel: Channel | null): Float64Array | null {
  if (channel === null) return null;
  const { timeS, values } = freshSamples(log, channel);
  return readingsAt(timeS, values, log.timeS);
}

function overEngineSpeed(quantity: Quantity): ChannelOfRun {
  return ({ log, found }) => {
    const channel = findChannel(log, quantity);
    if (channel === null || found.signals.engine === null) return null;
    const rpm = engineSpeedOnRows(found.signals);
    return derived(
      channel,
      channel.values.map((value, row) => value / rpm[row]!),
    );
  };
}

function airForEachCycle(run: LoadedRun): Channel | null {
  const perTurn = overEngineSpeed('air-mass-flow')(run);
  return perTurn === null
    ? null
    : derived(
        perTurn,
        perTurn.values.map((flow) => flow * 120),
      );
}

/** Fuel for each cycle times lambda, in units of what an injector delivers in a second: its course counts, not its size. */
function airByFuel(run: LoadedRun): Channel | null {
  const pulse = findChannel(run.log, 'injector-pulse-width');
  const lambda = onRows(run.log, findChannel(run.log, 'lambda'));
  if (pulse === null || lambda === null) return null;
  const pressure = onRows(run.log, acrossInjectors(run));
  const values = pulse.values.map((pulseS, row) => {
    const open = pulseS - deadTimeS;
    const push = pressure === null || Number.isNaN(pressure[row]!) ? 1 : Math.sqrt(Math.max(0, pressure[row]!) / 300_000);
    return open > 0 ? open * lambda[row]! * push : Number.NaN;
  });
  return derived(pulse, values);
}

function inletOverWeather({ log, inputs }: LoadedRun): Channel | null {
  const channel = findChannel(log, 'blower-inlet-pressure');
  if (channel === null) return null;
  const stationPa = inputs.stationPressurePa.value;
  return derived(
    channel,
    absoluteValues(channel, stationPa).map((pa) => pa / stationPa),
  );
}

function exhaustAbsolute({ log, inputs }: LoadedRun): Channel | null {
  const channel = findChannel(log, 'exhaust-pressure');
  return channel === null ? null : derived(channel, absoluteValues(channel, inputs.stationPressurePa.value));
}

function withoutSign(quantity: Quantity): ChannelOfRun {
  return ({ log }) => {
    const channel = findChannel(log, quantity);
    return channel === null ? null : derived(channel, channel.values.map(Math.abs));
  };
}

/** Lambda over the commanded one where that was logged, else over the target of the trial, else by itself. */
function lambdaOverTarget({ log, inputs }: LoadedRun): Channel | null {
  const channel = findChannel(log, 'lambda');
  if (channel === null) return null;
  const commanded = onRows(log, findChannel(log, 'commanded-lambda'));
  const target = inputs.targetLambda ?? 1;
  return derived(
    channel,
    channel.values.map((value, row) => value / (commanded === null ? target : commanded[row]!)),
  );
}

/** Rail over manifold pressure where the rail follows it, the rail alone where it is fixed or nobody said and no manifold pressure was logged. */
function acrossInjectors(run: LoadedRun): Channel | null {
  const { log, inputs } = run;
  const channel = findChannel(log, 'fuel-pressure');
  if (channel === null) return null;
  const stationPa = inputs.stationPressurePa.value;
  const railPa = absoluteValues(channel, stationPa);
  const rail = fuelRailOf(run)?.rail ?? null;
  const manifold = onRows(log, channelOf(['manifold-pressure'])(run));
  if (manifold === null || rail === 'fixed')
    return derived(
      channel,
      railPa.map((pa) => pa - stationPa),
    );
  return derived(
    channel,
    railPa.map((pa, row) => pa - manifold[row]!),
  );
}
