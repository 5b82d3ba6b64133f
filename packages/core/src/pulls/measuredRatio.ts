import type { Finding } from '../findings/index.js';
import { type Channel, findChannel, type Log } from '../log/index.js';
import { calibrateSpeed } from '../power/index.js';
import type { MotionSignals, Pull } from '../stretches/index.js';
import type { LoadedRun } from './loadedRun.js';

/** What is put right in a log's readings of road speed before they are compared with engine speed. */
export interface RoadMending {
  /** Lag that is left in the log's signals, s. */
  readonly delayS: number;
  /** Added to each, m/s: half a step where steps are cut off. */
  readonly offsetMps: number;
}

/** Engine speed over road speed in one gear, as the logs show it. */
export interface MeasuredRatio extends RoadMending {
  readonly rpmPerMps: number;
  readonly relativeError: number;
  readonly channel: Channel;
}

/** Error of a plain median of the ratio: about 1 %, and with readings so rare that a lag cannot be told from it, what a third of a reading's time makes of it. */
function medianError({ found }: LoadedRun): number {
  const refreshS = found.signals.road?.channel.refreshS?.median ?? 0;
  return Math.hypot(0.01, 0.1 * Math.max(0, refreshS - 0.1));
}

/** Ratios of one gear lie this near to each other; neighbouring gears lie three times as far apart. */
const oneGear = 0.04;
/** How far a lag that is not known moves the ratio of a slow log for each second between its readings, and the most. From the study of slow loggers. */
const perSecond = 0.12;
const mostSpread = 0.04;
/** Readings in such plenty leave no lag to count, s. */
const often = 0.15;

/** By what share the plain ratio of a log's readings may be off because they are rare; 0 where they are not. */
export function rarenessOf({ engine, ...speeds }: MotionSignals, by: 'road' | 'satellite' = 'road'): number {
  const refreshS = Math.max(engine?.channel.refreshS?.median ?? 0, speeds[by]?.channel.refreshS?.median ?? 0);
  return refreshS > often ? Math.min(mostSpread, perSecond * refreshS) : 0;
}

/** Standard deviation of the difference of two ages, each anywhere up to one row. */
const agesApart = 1 / Math.sqrt(6);

/**
 * What rows at even times make of the ratio where channels are asked more rarely: each row shows what was answered last, up to a row late, and by
 * how much drifts from pull to pull. A lag of that size counts as the engine's speed rises.
 */
function errorOfAge(log: Log, pulls: readonly Pull[]): number {
  const rows = log.channels.find(({ quantity }) => quantity === 'time')?.refreshS ?? null;
  const refreshS = findChannel(log, 'engine-speed')?.refreshS?.median ?? 0;
  if (rows === null || !(refreshS > askedRarely * rows.median) || rows.high > 1.05 * rows.low) return 0;
  const rates = pulls.flatMap(({ fromRpm, toRpm, startS, endS }) =>
    fromRpm === null || toRpm === null ? [] : [Math.log(toRpm / fromRpm) / (endS - startS)],
  );
  const rate = rates.reduce((sum, one) => sum + one, 0) / Math.max(1, rates.length);
  return (agesApart * rows.median * rate) / Math.sqrt(Math.max(1, pulls.length));
}

/** Engine speed that comes this much more rarely than rows do is not read at every row. */
const askedRarely = 1.3;

/**
 * Calibrates engine to ground speed, gear by gear, and pools logs that agree.
 *
 * @param findings Takes in what logs do not agree in.
 * @param by Which of a log's speeds: that which it is driven by, or satellite speed beside it.
 */
export function gearRatiosMeasured(
  located: readonly { readonly run: LoadedRun; readonly pull: Pull }[],
  findings: Finding[],
  by: 'road' | 'satellite' = 'road',
): (MeasuredRatio | null)[] {
  interface Group {
    readonly log: Log;
    readonly run: LoadedRun;
    readonly channel: Channel;
    readonly members: number[];
    readonly ratio: number;
    calibrated: (RoadMending & { readonly rpmPerMps: number; readonly relativeError: number }) | null;
  }
  const groups: Group[] = [];
  located.forEach(({ run, pull }, index) => {
    const road = run.found.signals[by];
    if (pull.rpmPerMps === null || road === null) return;
    const same = groups.find(
      (group) => group.log === run.log && Math.abs(group.ratio / pull.rpmPerMps! - 1) < oneGear + rarenessOf(run.found.signals, by),
    );
    if (same !== undefined) same.members.push(index);
    else groups.push({ log: run.log, run, channel: road.channel, members: [index], ratio: pull.rpmPerMps, calibrated: null });
  });
  for (const group of groups) {
    const spans = group.members.flatMap((index) => located[index]!.pull.spans);
    const { engine, [by]: road } = group.run.found.signals;
    const fit = calibrateSpeed({ engine, road }, spans);
    const plausible = fit !== null && Math.abs(fit.rpmPerMps / group.ratio - 1) < 0.06 + rarenessOf(group.run.found.signals, by);
    // What readings in plenty leave of a lag, the fit finds by itself.
    const agedError = errorOfAge(
      group.log,
      group.members.map((index) => located[index]!.pull),
    );
    group.calibrated = plausible
      ? {
          ...fit,
          relativeError: Math.hypot(fit.relativeError, agedError),
          delayS: fit.offsetMps === undefined ? 0 : fit.delayS,
          offsetMps: fit.offsetMps ?? 0,
        }
      : { rpmPerMps: group.ratio, relativeError: medianError(group.run), delayS: 0, offsetMps: 0 };
  }
  const out: (MeasuredRatio | null)[] = located.map(() => null);
  // The surest gathers the others about itself, whatever order the runs stand in.
  const open = groups.toSorted((a, b) => a.calibrated!.relativeError - b.calibrated!.relativeError);
  while (open.length > 0) {
    const first = open.shift()!;
    const cluster = [first];
    for (let i = open.length - 1; i >= 0; i--) {
      const other = open[i]!;
      const near = Math.abs(other.calibrated!.rpmPerMps / first.calibrated!.rpmPerMps - 1);
      const sameTyre = other.run.inputs.tyreRadiusM.value === first.run.inputs.tyreRadiusM.value;
      const sameChannel = other.channel.quantity === first.channel.quantity;
      const tolerance = Math.max(0.004, 3 * Math.hypot(first.calibrated!.relativeError, other.calibrated!.relativeError));
      if (near > Math.max(oneGear, Math.min(tolerance, 2 * oneGear)) || !sameTyre || !sameChannel) continue;
      if (near > tolerance) {
        findings.push({
          code: 'SPEED_CALIBRATION_DIFFERS',
          severity: 'warning',
          message: `Engine speed over road speed in one gear differs by ${(100 * near).toFixed(1)} % between ${first.run.inputs.log} and ${other.run.inputs.log}; power follows it twice. Each log is used with its own.`,
          where: { path: other.run.inputs.log, setup: other.run.inputs.setup },
          fix: 'Check tyres, tyre pressure and whether both logs take speed from the same source; give tyre-radius per run if tyres were changed.',
        });
        continue;
      }
      cluster.push(other);
      open.splice(i, 1);
    }
    let weight = 0;
    let sum = 0;
    for (const { calibrated } of cluster) {
      const w = 1 / Math.max(calibrated!.relativeError, 1e-4) ** 2;
      weight += w;
      sum += w * Math.log(calibrated!.rpmPerMps);
    }
    const pooled = Math.exp(sum / weight);
    for (const group of cluster) {
      for (const index of group.members)
        out[index] = {
          rpmPerMps: pooled,
          relativeError: 1 / Math.sqrt(weight),
          channel: group.channel,
          delayS: group.calibrated!.delayS,
          offsetMps: group.calibrated!.offsetMps,
        };
    }
  }
  return out;
}
