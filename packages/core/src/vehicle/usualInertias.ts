import { PullproofError } from '../findings/index.js';

/** A value with its standard uncertainty. */
export interface UncertainInertia {
  readonly value: number;
  readonly spread: number;
}

/** What is known of a car whose inertias are not. */
export interface KindOfCar {
  /** As driven, kg. */
  readonly massKg: number;
  readonly tyreRadiusM: number;
  /** Engine displacement, m³; null where not known. */
  readonly displacementM3: number | null;
  readonly transmission: 'manual' | 'dual-clutch' | 'automatic' | null;
}

/** Four wheels with tyres and brakes, as a share of the car's mass at the tyre's radius. */
const wheelShare = { value: 0.03, relative: 0.25 } as const;
/** Crank, flywheel and clutch (or converter and the oil in it): a part of its own and one for each litre. */
const engineKgM2 = { apart: 0.05, perLitre: 0.055, relative: 0.3 } as const;
const usualLitres = { value: 3, relative: 0.4 } as const;
/** A converter with its oil, two clutches in their drum, against a flywheel with one clutch. */
const transmissionFactor = { manual: 1, automatic: 1.1, 'dual-clutch': 1.15 } as const;

/**
 * Inertia of wheels and engine where nobody measured them, by mass, tyre, displacement and transmission.
 *
 * I_w = 0.03 m r² ± 25 %; I_e = (0.05 + 0.055 · litres) kg m² ± 30 %, 10 % more with a converter, 15 % more with two clutches.
 *
 * @param car what is known of it; without a displacement 3 L ± 40 % is taken
 * @returns kg m² with one standard uncertainty
 * @throws E_ROTATING for a mass or radius that is not positive
 *
 * Validity: road cars with ordinary flywheels; a racing clutch or flywheel has less than half of it.
 * Source: common practice, no source: wheels of 20 to 25 kg with most of it outside, flywheels of 6 to 11 kg.
 *
 * @example
 * ```ts
 * import { usualInertias } from '@pullproof/core';
 * const { wheelsKgM2, engineKgM2 } = usualInertias({ massKg: 1600, tyreRadiusM: 0.32, displacementM3: 3e-3, transmission: 'manual' });
 * [wheelsKgM2.value.toFixed(2), engineKgM2.value.toFixed(3)]; // => ['4.92', '0.215']
 * ```
 */
export function usualInertias({ massKg, tyreRadiusM, displacementM3, transmission }: KindOfCar): {
  readonly wheelsKgM2: UncertainInertia;
  readonly engineKgM2: UncertainInertia;
} {
  if (!(massKg > 0 && tyreRadiusM > 0 && (displacementM3 === null || displacementM3 > 0)))
    throw new PullproofError(
      'E_ROTATING',
      `mass ${massKg} kg, tyre radius ${tyreRadiusM} m and displacement ${displacementM3} m³ must be positive.`,
      {},
      'Check mass, tyre radius and displacement.',
    );
  const wheels = wheelShare.value * massKg * tyreRadiusM ** 2;
  const litres = displacementM3 === null ? usualLitres.value : 1000 * displacementM3;
  const factor = transmissionFactor[transmission ?? 'manual'];
  const engine = factor * (engineKgM2.apart + engineKgM2.perLitre * litres);
  const unknown = displacementM3 === null ? factor * engineKgM2.perLitre * litres * usualLitres.relative : 0;
  return {
    wheelsKgM2: { value: wheels, spread: wheelShare.relative * wheels },
    engineKgM2: { value: engine, spread: Math.hypot(engineKgM2.relative * engine, unknown) },
  };
}
