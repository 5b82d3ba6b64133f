import { PullproofError } from '../findings/index.js';

/** What turns road speed into engine speed. */
export interface Gearing {
  /** Ratios from first gear up. */
  readonly gearRatios: readonly number[];
  readonly finalDrive: number;
  /** Rolling radius, m. */
  readonly tyreRadiusM: number;
}

/** A gear that explains a measured ratio of engine speed to road speed. */
export interface GearMatch {
  /** From 1. */
  readonly gear: number;
  /** Measured over expected ratio, less 1. Slip and clutch make it positive. */
  readonly deviation: number;
}

/**
 * Engine speed per road speed in a gear: 60 i_g i_f/(2π r).
 *
 * @param gearing ratios and rolling radius
 * @param gear from 1
 * @returns rpm per m/s, without slip
 * @throws E_GEAR for a gear that the gearing does not have, or ratios or a radius that are not positive
 *
 * @example
 * ```ts
 * import { rpmPerMps } from '@pullproof/core';
 * const gearing = { gearRatios: [3.32, 2.08, 1.43], finalDrive: 3.73, tyreRadiusM: 0.318 };
 * rpmPerMps(gearing, 3).toFixed(1); // => '160.2'
 * ```
 */
export function rpmPerMps({ gearRatios, finalDrive, tyreRadiusM }: Gearing, gear: number): number {
  const ratio = gearRatios[gear - 1];
  if (ratio === undefined || !(ratio > 0)) {
    throw new PullproofError('E_GEAR', `there is no gear ${gear} among ratios [${gearRatios.join(', ')}].`, {}, 'Check gear-ratios.');
  }
  if (!(finalDrive > 0 && tyreRadiusM > 0 && Number.isFinite(finalDrive) && Number.isFinite(tyreRadiusM))) {
    throw new PullproofError(
      'E_GEAR',
      `final drive and tyre radius must be positive, given ${finalDrive} and ${tyreRadiusM} m.`,
      {},
      'Check final-drive and tyre-radius.',
    );
  }
  return (60 * ratio * finalDrive) / (2 * Math.PI * tyreRadiusM);
}

/**
 * Finds the gear whose ratio is nearest to a measured one.
 *
 * @param measuredRpmPerMps engine speed over road speed, rpm per m/s
 * @param gearing ratios and rolling radius
 * @param options `tolerance`: largest deviation as a share, 0.05 unless given
 * @returns the gear with its deviation; null when none is within the tolerance, when two are, or when the measurement is not a positive number
 * @throws E_GEAR as {@link rpmPerMps}
 *
 * Validity: rolling radius within a few percent; a slipping clutch or converter, or neutral, gives null or no steady answer.
 *
 * @example
 * ```ts
 * import { nearestGear } from '@pullproof/core';
 * const gearing = { gearRatios: [3.32, 2.08, 1.43], finalDrive: 3.73, tyreRadiusM: 0.318 };
 * nearestGear(235, gearing)?.gear; // => 2
 * nearestGear(200, gearing); // => null
 * ```
 */
export function nearestGear(measuredRpmPerMps: number, gearing: Gearing, options: { readonly tolerance?: number } = {}): GearMatch | null {
  const { tolerance = 0.05 } = options;
  if (!(measuredRpmPerMps > 0)) return null;
  const within = gearing.gearRatios
    .map((_, index) => ({ gear: index + 1, deviation: measuredRpmPerMps / rpmPerMps(gearing, index + 1) - 1 }))
    .filter(({ deviation }) => Math.abs(deviation) <= tolerance);
  return within.length === 1 ? within[0]! : null;
}
