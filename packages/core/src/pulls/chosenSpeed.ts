import { channelsOf } from '../log/index.js';
import { type Pull, quantileOf, readingsBetween } from '../stretches/index.js';
import { nearestGear, rpmPerMps } from '../vehicle/index.js';
import type { GroundScale } from './groundSpeed.js';
import type { LoadedRun } from './loadedRun.js';
import type { MeasuredRatio, RoadMending } from './measuredRatio.js';

/** Relative uncertainty of ground speed by where it comes from; common practice, no source for the figures. */
const speedScaleSpread = {
  /** Satellite speed. */
  gps: 0.003,
  /** The car's own speed channel: its scale within about 1 %, tyre slip and growth 0–3 %. */
  road: 0.013,
  /** Slip and growth where only gearing and a tyre radius are known. */
  gearing: 0.009,
} as const;
/** Two ratios that differ by more than this many of their spreads together are not averaged: one of them is wrong. */
const mostSpreads = 3;

/** How ground speed follows from engine speed in a pull, and where that comes from. */
export interface ChosenSpeed {
  readonly rpmPerMps: number;
  /** True ground speed over the road speed as logged. */
  readonly roadScale: number;
  readonly road: RoadMending;
  readonly gear: number | null;
  readonly source: string;
  readonly spread: number;
}

/** What the logs show of a pull's ratio. */
export interface RatiosOfPull {
  /** By the speed that the log is driven by. */
  readonly road: MeasuredRatio | null;
  /** By a satellite speed beside it. */
  readonly satellite: MeasuredRatio | null;
  /** Scale of the car's own speed by satellite speed in steady driving. */
  readonly scale: GroundScale | null;
}

interface Source {
  readonly ratio: number;
  readonly spread: number;
  readonly words: string;
}

/**
 * Ratio of engine to ground speed of a pull from all that tells it, each by what it is worth: the speed that was logged, satellite speed beside
 * it, and stated gearing. Null where nothing does.
 */
export function speedOf(run: LoadedRun, pull: Pull, { road, satellite, scale }: RatiosOfPull): ChosenSpeed | null {
  const { gearRatios, finalDrive, tyreRadiusM } = run.inputs;
  const gearing = gearRatios === null || finalDrive === null ? null : { gearRatios, finalDrive, tyreRadiusM: tyreRadiusM.value };
  const toldGear = run.inputs.gear ?? gearDuring(run, pull);
  const statedBy = (gear: number | null): Source | null =>
    gearing === null || gear === null || gear > gearing.gearRatios.length
      ? null
      : {
          ratio: rpmPerMps(gearing, gear),
          spread: Math.hypot(speedScaleSpread.gearing, tyreRadiusM.spread / tyreRadiusM.value),
          words: 'gear ratio, final drive and tyre radius',
        };
  if (road === null) {
    const stated = statedBy(toldGear);
    if (stated === null) return null;
    const { ratio, spread, words } = stated;
    const source = `engine speed, by ${words} (${ratio.toFixed(2)} rpm per m/s)`;
    return { rpmPerMps: ratio, roadScale: 1, road: { delayS: 0, offsetMps: 0 }, gear: toldGear, source, spread };
  }
  const bySatellite = road.channel.quantity === 'gps-speed';
  const main: Source = {
    ratio: road.rpmPerMps,
    spread: Math.hypot(bySatellite ? speedScaleSpread.gps : speedScaleSpread.road, road.relativeError),
    words: `calibrated to ${road.channel.name}`,
  };
  const match = gearing === null ? null : nearestGear(road.rpmPerMps, gearing, { tolerance: 0.09 });
  const gear = match?.gear ?? toldGear;
  const others = [betterOf(scaledBy(road, scale), beside(satellite)), statedBy(gear)].filter((source) => source !== null);
  const used = [main, ...others.filter((other) => agree(main, other))];
  const mean = meanOf(used);
  const further = used.slice(1).map(({ words }) => words);
  return {
    rpmPerMps: mean.ratio,
    roadScale: road.rpmPerMps / mean.ratio,
    road: { delayS: road.delayS, offsetMps: road.offsetMps },
    gear,
    source: `engine speed, ${main.words}${further.length === 0 ? '' : `, with ${further.join(' and ')}`} (${mean.ratio.toFixed(2)} rpm per m/s)`,
    spread: mean.spread,
  };
}

function agree(a: Source, b: Source): boolean {
  return Math.abs(Math.log(a.ratio / b.ratio)) <= mostSpreads * Math.hypot(a.spread, b.spread);
}

/** The car's own speed put to scale by steady driving. */
function scaledBy(road: MeasuredRatio, scale: GroundScale | null): Source | null {
  if (scale === null) return null;
  return {
    ratio: road.rpmPerMps / scale.factor,
    spread: Math.hypot(speedScaleSpread.gps, road.relativeError, scale.spread),
    words: `that scaled by ${scale.factor.toFixed(4)} to satellite speed`,
  };
}

function beside(satellite: MeasuredRatio | null): Source | null {
  if (satellite === null) return null;
  return {
    ratio: satellite.rpmPerMps,
    spread: Math.hypot(speedScaleSpread.gps, satellite.relativeError),
    words: `${satellite.channel.name} in the pulls`,
  };
}

/** Two that rest on the same satellite speed do not count twice: the surer one does. */
function betterOf(a: Source | null, b: Source | null): Source | null {
  if (a === null || b === null) return a ?? b;
  return a.spread <= b.spread ? a : b;
}

/** Mean of the logarithms, weighed by the inverse squares of the spreads. */
function meanOf(sources: readonly Source[]): { readonly ratio: number; readonly spread: number } {
  let weight = 0;
  let sum = 0;
  for (const { ratio, spread } of sources) {
    weight += 1 / spread ** 2;
    sum += Math.log(ratio) / spread ** 2;
  }
  return { ratio: Math.exp(sum / weight), spread: 1 / Math.sqrt(weight) };
}

/** Gear that the log states during a pull, when it is one whole number from 1. */
function gearDuring(run: LoadedRun, pull: Pull): number | null {
  for (const channel of [...channelsOf(run.log, 'gear'), ...channelsOf(run.log, 'commanded-gear')]) {
    const { values } = readingsBetween(run.log, channel, pull.startS, pull.endS);
    if (values.length === 0) continue;
    const usual = quantileOf(values, 0.5);
    if (usual >= 1 && Number.isInteger(usual)) return usual;
  }
  return null;
}
