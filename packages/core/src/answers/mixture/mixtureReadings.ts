import {
  combineBanks,
  delaysAt,
  type EstimatedDelay,
  enteredDelay,
  estimateDelay,
  injectorDutyOf,
  readingsAt,
  type TransportDelay,
} from '../../fuel/index.js';
import { type Channel, channelsOf, findChannel, freshSamples, type Log, type Quantity } from '../../log/index.js';
import type { FittedSetup, FoundCeiling, TrialPull } from '../../pulls/index.js';
import type { DelayResult, MixtureResult } from '../../result/index.js';
import { nullable } from '../../result/index.js';
import { readingsOnCeiling } from '../../sensors/index.js';
import { joinableGapS, rowsOf, valueAt } from '../../stretches/index.js';
import { rpmText } from '../../units/index.js';

/** Steady readings of lambda in a setup's pulls, delay removed: each stands at the moment it tells about. Arrays of one length; NaN where something was not logged. */
export interface MixtureReadings {
  /** Number of the pull each reading comes from. */
  readonly pull: Int32Array;
  /** Time in its log of what the reading tells about. */
  readonly timeS: Float64Array;
  readonly delayS: Float64Array;
  readonly lambda: Float64Array;
  readonly commandedLambda: Float64Array;
  readonly engineSpeedRpm: Float64Array;
  readonly manifoldPressurePa: Float64Array;
  readonly other: Readonly<Record<OtherQuantity, Float64Array>>;
  readonly result: MixtureResult;
}

const otherQuantities = [
  'short-term-fuel-trim',
  'long-term-fuel-trim',
  'charge-temperature',
  'spark-advance',
  'knock-retard',
  'fuel-pressure',
  'injector-duty',
  'air-mass-flow',
] as const;

export type OtherQuantity = (typeof otherQuantities)[number];

/** Readings further apart are not joined, s. */
const longestGapS = 1;
/** After the throttle has opened, old gas and wall film need this long, s. Common practice, no source. */
const settleS = 0.5;
/** A pipe of three litres behind a road engine at full load, 1.25 cycles and 40 ms of sensor: see modelDelayS. Common practice, no source. */
const assumedDelayS = 0.1;
const assumedSpreadS = 0.05;

/**
 * Lambda of a setup's pulls with the exhaust's delay removed.
 *
 * @param setup with its pulls
 * @param ceilings of its logs: readings on one are left out
 * @returns null where lambda was not logged in the pulls
 */
export function mixtureReadings(setup: FittedSetup, ceilings: readonly FoundCeiling[]): MixtureReadings | null {
  const pulls = setup.used.filter(({ log }) => findChannel(log, 'lambda') !== null);
  if (pulls.length === 0) return null;
  const inputs = pulls[0]!.run.inputs;
  const { delay, told } = delayOf(pulls);
  const rows = pulls.flatMap((pull, number) => pullRows(pull, number, delay, ceilings));
  const column = (key: (row: Row) => number): Float64Array => Float64Array.from(rows, key);
  const sensors = channelsOf(pulls[0]!.log, 'lambda');
  const offsets = combineBanks(sensors.map((channel) => heldIn(pulls[0]!, channel))).offsets;
  const ethanol = pulls.flatMap(({ log }) => {
    const channel = findChannel(log, 'ethanol-share');
    return channel === null ? [] : Array.from(channel.values).filter(Number.isFinite);
  });
  const commanded = findChannel(pulls[0]!.log, 'commanded-lambda');
  return {
    pull: Int32Array.from(rows, (row) => row.pull),
    timeS: column((row) => row.timeS),
    delayS: column((row) => row.delayS),
    lambda: column((row) => row.lambda),
    commandedLambda: column((row) => row.commanded),
    engineSpeedRpm: column((row) => row.rpm),
    manifoldPressurePa: column((row) => row.manifoldPa),
    other: Object.fromEntries(otherQuantities.map((name, i) => [name, column((row) => row.other[i]!)])) as Record<
      OtherQuantity,
      Float64Array
    >,
    result: {
      delay: told,
      banks: sensors.map(({ name, bank }, i) => ({ channel: name, bank, offset: nullable(offsets[i]!) })),
      gaugeStoich: inputs.gaugeStoich.value,
      readings: rows.length,
      wantedFrom: commanded?.name ?? (inputs.targetLambda === null ? null : 'targets.lambda of the trial'),
      ethanolShare: ethanol.length === 0 ? null : ethanol.reduce((sum, value) => sum + value, 0) / ethanol.length,
    },
  };
}

interface Row {
  readonly pull: number;
  readonly timeS: number;
  readonly delayS: number;
  readonly lambda: number;
  readonly commanded: number;
  readonly rpm: number;
  readonly manifoldPa: number;
  readonly other: readonly number[];
}

/** Fresh lambda of all sensors together, with what was going on when the gas left the engine. */
function pullRows(located: TrialPull, number: number, delay: TransportDelay, ceilings: readonly FoundCeiling[]): Row[] {
  const { log, pull, run, signals } = located;
  const { from, to } = rowsOf(log, pull);
  const timeS = log.timeS.slice(from, to);
  const { lambda } = combineBanks(channelsOf(log, 'lambda').map((channel) => freeOf(log, channel, from, to, ceilings)));
  const engine = signals.engine!;
  const gapS = joinableGapS(engine);
  const rpmAt = (t: number): number => valueAt(engine, t, gapS);
  const at: { row: number; eventS: number; delayS: number }[] = [];
  lambda.forEach((value, i) => {
    if (!Number.isFinite(value)) return;
    // The delay goes with the flow when the gas left, which the delay itself tells: two rounds settle it.
    let delayS = delaysAt(delay, Float64Array.of(rpmAt(timeS[i]!)))[0]!;
    for (let round = 0; round < 2; round++) delayS = delaysAt(delay, Float64Array.of(rpmAt(timeS[i]! - delayS)))[0]!;
    const eventS = timeS[i]! - delayS;
    if (eventS >= pull.startS + settleS && insideSpans(located, eventS)) at.push({ row: i, eventS, delayS });
  });
  const eventS = Float64Array.from(at, (one) => one.eventS);
  // Readings further off than these are not joined to any in the pull.
  const near = rowsOf(log, { startS: pull.startS - longestGapS, endS: pull.endS + longestGapS });
  const look = (quantity: Quantity): Float64Array => {
    const channel = findChannel(log, quantity);
    if (channel === null) return new Float64Array(eventS.length).fill(Number.NaN);
    const { timeS: times, values } = freshSamples(log, channel, near.from, near.to);
    const addedPa = quantity === 'manifold-pressure' && channel.reference === 'gauge' ? run.inputs.stationPressurePa.value : 0;
    return readingsAt(times, addedPa === 0 ? values : values.map((pa) => pa + addedPa), eventS, { maxGapS: longestGapS });
  };
  const manifold = look('manifold-pressure');
  const wanted = findChannel(log, 'commanded-lambda') === null ? null : look('commanded-lambda');
  const noDuty = findChannel(log, 'injector-duty') === null;
  const others = otherQuantities.map((quantity) => {
    if (quantity !== 'injector-duty' || !noDuty) return look(quantity);
    return look('injector-pulse-width').map((pulseS, k) => injectorDutyOf(pulseS, rpmAt(eventS[k]!)));
  });
  return at.map(({ row, eventS: time, delayS }, k) => ({
    pull: number,
    timeS: time,
    delayS,
    lambda: lambda[row]!,
    commanded: wanted === null ? (run.inputs.targetLambda ?? Number.NaN) : wanted[k]!,
    rpm: rpmAt(time),
    manifoldPa: manifold[k]!,
    other: others.map((values) => values[k]!),
  }));
}

function insideSpans({ pull }: TrialPull, timeS: number): boolean {
  return pull.spans.some((span) => timeS >= span.fromS && timeS <= span.toS);
}

/** Fresh readings of a lambda channel on the log's rows, those on a ceiling left out. */
function freeOf(log: Log, channel: Channel, from: number, to: number, ceilings: readonly FoundCeiling[]): Float64Array {
  const out = new Float64Array(to - from).fill(Number.NaN);
  const { rows, values } = freshSamples(log, channel, from, to);
  rows.forEach((row, i) => {
    out[row - from] = values[i]!;
  });
  for (const found of ceilings) {
    if (found.channel !== channel.name || !found.logs.has(log)) continue;
    readingsOnCeiling(out, found.ceiling).forEach((flag, i) => {
      if (flag === 1) out[i] = Number.NaN;
    });
  }
  return out;
}

/** A sensor's readings through a pull, held straight between them, so that sensors that share no rows can be compared. */
function heldIn({ log, pull }: TrialPull, channel: Channel): Float64Array {
  const { from, to } = rowsOf(log, pull);
  const { timeS, values } = freshSamples(log, channel, from, to);
  return readingsAt(timeS, values, log.timeS.slice(from, to));
}

/** Entered, else estimated from where the wanted lambda moves around the pulls, else assumed. */
function delayOf(pulls: readonly TrialPull[]): { readonly delay: TransportDelay; readonly told: DelayResult } {
  const entered = pulls[0]!.run.inputs.lambdaDelayS;
  if (entered !== null) {
    const told: DelayResult = {
      standing: 'entered',
      fixedS: entered,
      flowS: 0,
      referenceRpm: 1,
      delayS: entered,
      lowS: null,
      highS: null,
      reason: `${(1000 * entered).toFixed(0)} ms was entered.`,
    };
    return { delay: enteredDelay(entered), told };
  }
  const estimated = estimatedDelay(pulls);
  if (estimated?.delay) {
    const { delay, atMedianS, lowS, highS, reason } = estimated;
    return {
      delay,
      told: {
        standing: 'measured',
        fixedS: delay.fixedS,
        flowS: delay.flowS,
        referenceRpm: delay.referenceFlow,
        delayS: atMedianS!,
        lowS,
        highS,
        reason: `Estimated: ${reason} (${rpmText(delay.referenceFlow)}).`,
      },
    };
  }
  const why = estimated === null ? 'no wanted lambda was logged beside the measured one' : estimated.reason;
  return {
    delay: enteredDelay(assumedDelayS),
    told: {
      standing: 'assumed',
      fixedS: assumedDelayS,
      flowS: 0,
      referenceRpm: 1,
      delayS: assumedDelayS,
      lowS: assumedDelayS - assumedSpreadS,
      highS: assumedDelayS + assumedSpreadS,
      reason: `Assumed (common practice, no source): ${why}`,
    },
  };
}

/** Before a pull, where the wanted lambda moves from cruise to full load, s. */
const leadS = 2.5;
/** And this long after, s: later the error of the fuelling itself moves lambda, and would be taken for delay. */
const trailS = 1.5;
/** On the overrun fuel is cut, whatever lambda is wanted; its air needs this long to pass the sensor, s. */
const cutLambda = 1.15;
const afterCutS = 0.6;

function estimatedDelay(pulls: readonly TrialPull[]): EstimatedDelay | null {
  const timeS: number[] = [];
  const lambda: number[] = [];
  const driver: number[] = [];
  const rpm: number[] = [];
  let offsetS = 0;
  for (const { log, pull, signals } of pulls) {
    const wanted = findChannel(log, 'commanded-lambda');
    const measured = findChannel(log, 'lambda');
    if (wanted === null || measured === null) continue;
    const { from, to } = rowsOf(log, { startS: pull.startS - leadS, endS: Math.min(pull.endS, pull.startS + trailS) });
    if (to <= from) continue;
    const times = log.timeS.slice(from, to);
    const command = freshSamples(log, wanted, from, to);
    const commanded = readingsAt(command.timeS, command.values, times);
    const fresh = new Float64Array(to - from).fill(Number.NaN);
    const samples = freshSamples(log, measured, from, to);
    let lastCutS = Number.NEGATIVE_INFINITY;
    samples.rows.forEach((row, i) => {
      if (samples.values[i]! > cutLambda) lastCutS = samples.timeS[i]!;
      if (samples.timeS[i]! - lastCutS > afterCutS) fresh[row - from] = samples.values[i]!;
    });
    const gapS = joinableGapS(signals.engine!);
    const shift = offsetS - times[0]!;
    times.forEach((t, i) => {
      timeS.push(t + shift);
      lambda.push(fresh[i]!);
      driver.push(commanded[i]!);
      rpm.push(valueAt(signals.engine!, t, gapS));
    });
    // Far enough apart that no delay reaches from one pull into the next.
    offsetS = timeS.at(-1)! + 5;
  }
  if (timeS.length === 0) return null;
  return estimateDelay(Float64Array.from(timeS), Float64Array.from(lambda), Float64Array.from(driver), Float64Array.from(rpm));
}
