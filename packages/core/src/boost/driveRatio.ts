import type { Finding, Place } from '../findings/index.js';
import { PullproofError } from '../findings/index.js';
import { rpmText } from '../units/index.js';

/**
 * Turns of the rotor for each turn of the engine.
 *
 * r = d_crank/d_blower · internal gear
 *
 * @param crankPulleyM diameter that the belt runs on, m
 * @param blowerPulleyM diameter that the belt runs on, m
 * @param options `internalGear`: rotor turns for each turn of the blower pulley, default 1
 * @returns ratio
 * @throws E_PULLEY when a diameter is not above zero
 *
 * @example
 * ```ts
 * import { blowerDriveRatio } from '@pullproof/core';
 *
 * blowerDriveRatio(0.15, 0.075); // => 2
 * ```
 */
export function blowerDriveRatio(crankPulleyM: number, blowerPulleyM: number, options: { readonly internalGear?: number } = {}): number {
  const { internalGear = 1 } = options;
  if (!(crankPulleyM > 0) || !(blowerPulleyM > 0) || !(internalGear > 0)) {
    throw new PullproofError(
      'E_PULLEY',
      `Pulleys of ${crankPulleyM} m and ${blowerPulleyM} m with a gear of ${internalGear} drive nothing.`,
      {},
      'Give diameters and gear above zero.',
    );
  }
  return (crankPulleyM / blowerPulleyM) * internalGear;
}

/**
 * Rotor speed.
 *
 * N_s = N_e · r · (1 − slip)
 *
 * @param engineSpeedRpm engine speed
 * @param driveRatio see {@link blowerDriveRatio}
 * @param options `beltSlip`, 0–1, default 0
 */
export function rotorSpeedRpm(engineSpeedRpm: number, driveRatio: number, options: { readonly beltSlip?: number } = {}): number {
  return engineSpeedRpm * driveRatio * (1 - (options.beltSlip ?? 0));
}

/**
 * Holds the rotor's speed at the redline against the blower's limit, before anyone drives.
 *
 * @param driveRatio see {@link blowerDriveRatio}
 * @param limits blower's largest rotor speed and the engine's redline
 * @returns highest engine speed that the blower allows, and a finding when the redline lies above
 */
export function rotorSpeedLimit(
  driveRatio: number,
  limits: { readonly maxRotorSpeedRpm: number; readonly redlineRpm: number; readonly where?: Place },
): { readonly highestEngineSpeedRpm: number; readonly findings: readonly Finding[] } {
  const highestEngineSpeedRpm = limits.maxRotorSpeedRpm / driveRatio;
  if (limits.redlineRpm <= highestEngineSpeedRpm) return { highestEngineSpeedRpm, findings: [] };
  const rotor = rotorSpeedRpm(limits.redlineRpm, driveRatio);
  const finding: Finding = {
    code: 'W_ROTOR_SPEED_AT_REDLINE',
    severity: 'warning',
    message: `At the redline of ${rpmText(limits.redlineRpm)} the rotors turn at ${rpmText(rotor)}, beyond the blower's limit of ${rpmText(limits.maxRotorSpeedRpm)}.`,
    where: limits.where ?? {},
    fix: `Shift below ${rpmText(Math.floor(highestEngineSpeedRpm / 50) * 50)}, or fit a larger blower pulley.`,
  };
  return { highestEngineSpeedRpm, findings: [finding] };
}
