/** An injector at one engine speed, as it works now. */
export interface InjectorPoint {
  /** Share of the time that it is open, dead time included, 0–1. */
  readonly duty: number;
  readonly engineSpeedRpm: number;
  readonly deadTimeS: number;
  /** How much more fuel the same air is to have than now, as a factor: 1 for the same mixture. */
  readonly fuelFactor: number;
  /** How far the rail follows manifold pressure: 1 wholly, 0 not at all. */
  readonly railFollows: number;
  /** Manifold pressure, absolute, over the pressure across the injector; counts only where the rail does not follow wholly. */
  readonly manifoldOverAcross: number;
}

/**
 * Share of the time that an injector gives fuel.
 *
 * duty − t_dead N/120: dead time is subtracted for flow, never for duty
 *
 * @param duty open, dead time included, 0–1
 * @param engineSpeedRpm of a four-stroke engine, one opening each two turns
 * @param deadTimeS s
 * @returns 0–1; below zero where the pulse is shorter than the dead time and nothing flows; NaN stays NaN
 */
export function injectorFlowShare(duty: number, engineSpeedRpm: number, deadTimeS: number): number {
  return duty - (deadTimeS * engineSpeedRpm) / 120;
}

/**
 * How much more air the injectors can feed until they are open for a share of the time, mixture held.
 *
 * With s times the air at the same charge temperature, manifold pressure is s times what it was: s κ (d − δ) = (L − δ) √(Δp(s)/Δp), Δp(s) = Δp − (1 − f) p (s − 1), where d is the duty now, δ the dead share, L the limit, κ the fuel factor, f how far the rail follows, p manifold pressure and Δp that across the injector. A square equation in s.
 *
 * @param point the injector now
 * @param limitDuty 0–1
 * @returns s − 1: 0.2 is a fifth more air, below zero where the limit is passed; NaN where nothing flows now, or the limit is shorter than the dead time
 *
 * Validity: air per turn follows manifold pressure (engine speed and charge temperature unchanged); the rail's pressure as far as it follows nothing stays.
 *
 * Source: flow with the root of pressure, Bosch Motorsport injector notes.
 *
 * @example
 * ```ts
 * import { moreAirUntilDuty } from '@pullproof/core';
 *
 * const now = { duty: 0.7, engineSpeedRpm: 6000, deadTimeS: 0.001, fuelFactor: 1, railFollows: 1, manifoldOverAcross: 0.6 };
 * moreAirUntilDuty(now, 0.85).toFixed(3); // => '0.231'
 * ```
 */
export function moreAirUntilDuty(point: InjectorPoint, limitDuty: number): number {
  const { duty, engineSpeedRpm, deadTimeS, fuelFactor, railFollows, manifoldOverAcross } = point;
  const now = fuelFactor * injectorFlowShare(duty, engineSpeedRpm, deadTimeS);
  const then = injectorFlowShare(limitDuty, engineSpeedRpm, deadTimeS);
  if (!(now > 0) || !(then > 0)) return Number.NaN;
  const lost = (1 - railFollows) * manifoldOverAcross;
  const ratio = (then / now) ** 2;
  // The rail follows wholly (also where manifold pressure is unknown): the root of the ratio.
  if (railFollows === 1) return Math.sqrt(ratio) - 1;
  return (-lost * ratio + Math.sqrt((lost * ratio) ** 2 + 4 * ratio * (1 + lost))) / 2 - 1;
}
