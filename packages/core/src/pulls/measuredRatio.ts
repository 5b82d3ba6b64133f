import type { Finding } from '../findings/index.js';
import type { Channel, Log } from '../log/index.js';
import { calibrateSpeed } from '../power/index.js';
import type { Pull } from '../stretches/index.js';
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
    const same = groups.find((group) => group.log === run.log && Math.abs(group.ratio / pull.rpmPerMps! - 1) < 0.04);
    if (same !== undefined) same.members.push(index);
    else groups.push({ log: run.log, run, channel: road.channel, members: [index], ratio: pull.rpmPerMps, calibrated: null });
  });
  for (const group of groups) {
    const spans = group.members.flatMap((index) => located[index]!.pull.spans);
    const { engine, [by]: road } = group.run.found.signals;
    const fit = calibrateSpeed({ engine, road }, spans);
    const plausible = fit !== null && Math.abs(fit.rpmPerMps / group.ratio - 1) < 0.06;
    // What readings in plenty leave of a lag, the fit finds by itself.
    group.calibrated = plausible
      ? { ...fit, delayS: fit.offsetMps === undefined ? 0 : fit.delayS, offsetMps: fit.offsetMps ?? 0 }
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
      if (near > 0.04 || !sameTyre || !sameChannel) continue;
      const tolerance = Math.max(0.004, 3 * Math.hypot(first.calibrated!.relativeError, other.calibrated!.relativeError));
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
