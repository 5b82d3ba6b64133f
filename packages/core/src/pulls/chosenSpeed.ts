import { channelsOf } from '../log/index.js';
import { type Pull, quantileOf, readingsBetween } from '../stretches/index.js';
import { nearestGear, rpmPerMps } from '../vehicle/index.js';
import type { GroundScale } from './groundSpeed.js';
import type { LoadedRun } from './loadedRun.js';
import type { MeasuredRatio } from './measuredRatio.js';

/** Relative uncertainty of ground speed by where it comes from; common practice, no source for the figures. */
const speedScaleSpread = {
  /** Satellite speed. */
  gps: 0.003,
  /** The car's own speed channel: its scale within about 1 %, tyre slip and growth 0–3 %. */
  road: 0.013,
  /** Slip and growth where only gearing and a tyre radius are known. */
  gearing: 0.009,
} as const;

/** How ground speed follows from engine speed in a pull, and where that comes from. */
export interface ChosenSpeed {
  readonly rpmPerMps: number;
  /** True ground speed over the road speed as logged. */
  readonly roadScale: number;
  readonly gear: number | null;
  readonly source: string;
  readonly spread: number;
}

/** Road speed where the log has it, else gearing with the logged gear; null where neither serves. */
export function speedOf(run: LoadedRun, pull: Pull, measured: MeasuredRatio | null, scale: GroundScale | null): ChosenSpeed | null {
  const { gearRatios, finalDrive, tyreRadiusM } = run.inputs;
  const gearing = gearRatios === null || finalDrive === null ? null : { gearRatios, finalDrive, tyreRadiusM: tyreRadiusM.value };
  const loggedGear = gearDuring(run, pull);
  if (measured !== null) {
    const match = gearing === null ? null : nearestGear(measured.rpmPerMps, gearing, { tolerance: 0.09 });
    const gps = measured.channel.quantity === 'gps-speed';
    const own = gps || scale !== null ? speedScaleSpread.gps : speedScaleSpread.road;
    const ratio = measured.rpmPerMps / (scale?.factor ?? 1);
    const scaled = scale === null ? '' : `, that scaled by ${scale.factor.toFixed(4)} to satellite speed`;
    return {
      rpmPerMps: ratio,
      roadScale: scale?.factor ?? 1,
      gear: match?.gear ?? loggedGear,
      source: `engine speed, calibrated to ${measured.channel.name}${scaled} (${ratio.toFixed(2)} rpm per m/s)`,
      spread: Math.hypot(own, measured.relativeError, scale?.spread ?? 0),
    };
  }
  if (gearing === null || loggedGear === null || loggedGear > gearing.gearRatios.length) return null;
  const ratio = rpmPerMps(gearing, loggedGear);
  return {
    rpmPerMps: ratio,
    roadScale: 1,
    gear: loggedGear,
    source: `engine speed, by gear ratio, final drive and tyre radius (${ratio.toFixed(2)} rpm per m/s)`,
    spread: Math.hypot(speedScaleSpread.gearing, tyreRadiusM.spread / tyreRadiusM.value),
  };
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
