import { PullproofError } from '../findings/index.js';

const poundKg = 0.45359237;

/**
 * Volume flow of an injector rated by mass.
 *
 * Q = ṁ/ρ. The trade's "10.5 cc/min a lb/h" belongs to a density of 720 kg/m³, neither n-heptane (684, in which injectors are rated) nor petrol.
 *
 * @param massFlowKgPerS rated flow
 * @param densityKgPerM3 of the fluid it was rated with
 * @returns m³/s
 */
export function injectorVolumeFlowM3PerS(massFlowKgPerS: number, densityKgPerM3: number): number {
  return massFlowKgPerS / densityKgPerM3;
}

/** Mass flow of so many pounds an hour, kg/s. */
export function massFlowFromPoundsPerHour(poundsPerHour: number): number {
  return (poundsPerHour * poundKg) / 3600;
}

/**
 * Flow of an injector at another pressure across it.
 *
 * Q₂ = Q₁ √(p₂/p₁), p the pressure across the injector: rail gauge less manifold gauge.
 *
 * @param flow at `ratedPressurePa`, any unit
 * @param ratedPressurePa across the injector when it was rated, Pa
 * @param pressurePa across it now, Pa
 * @returns flow in the same unit
 * @throws E_PRESSURE when a pressure is not above zero: nothing flows, or backwards
 *
 * Source: Bosch Motorsport injector notes.
 */
export function injectorFlowAtPressure(flow: number, ratedPressurePa: number, pressurePa: number): number {
  if (!(ratedPressurePa > 0) || !(pressurePa > 0)) {
    throw new PullproofError(
      'E_PRESSURE',
      `With ${ratedPressurePa} Pa rated and ${pressurePa} Pa now across the injector there is no flow to work out.`,
      {},
      'Give the pressure across the injector: rail less manifold, both gauge.',
    );
  }
  return flow * Math.sqrt(pressurePa / ratedPressurePa);
}

/**
 * Share of the time that an injector is open, one opening each two turns of the engine.
 *
 * duty = pulse · rpm/120
 *
 * @param pulseWidthS opening, dead time included, s
 * @param engineSpeedRpm of a four-stroke engine
 * @returns 0–1, above 1 when the pulses run into each other; NaN stays NaN
 */
export function injectorDutyOf(pulseWidthS: number, engineSpeedRpm: number): number {
  return (pulseWidthS * engineSpeedRpm) / 120;
}

/**
 * Power that a fuel flow feeds.
 *
 * P = ṁ_f/BSFC
 *
 * @param fuelMassFlowKgPerS all injectors together
 * @param specificConsumptionKgPerJ brake-specific consumption; 0.5 lb/(hp h) is 8.448e-8
 * @returns W
 */
export function powerFromFuel(fuelMassFlowKgPerS: number, specificConsumptionKgPerJ: number): number {
  return fuelMassFlowKgPerS / specificConsumptionKgPerJ;
}

/** Brake-specific consumption of so many pounds for a horsepower-hour, kg/J. */
export function consumptionFromPoundsPerHorsepowerHour(poundsPerHorsepowerHour: number): number {
  return (poundsPerHorsepowerHour * poundKg) / (745.6998715822702 * 3600);
}
