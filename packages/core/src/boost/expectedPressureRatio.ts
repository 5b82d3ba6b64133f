import { PullproofError } from '../findings/index.js';
import { blowerOutletTemperatureK, cooledTemperatureK } from './chargeAir.js';

/** A positive-displacement blower on an engine. */
export interface BlowerOnEngine {
  /** Air that the blower moves with each turn of its rotors, m³. */
  readonly blowerDisplacementM3: number;
  /** m³. */
  readonly engineDisplacementM3: number;
  /** Rotor turns for each engine turn. */
  readonly driveRatio: number;
  /** Of the engine, on manifold density. */
  readonly volumetricEfficiency: number;
  /** Of the blower: what its clearances let back is missing. */
  readonly blowerVolumetricEfficiency: number;
  readonly adiabaticEfficiency: number;
  readonly inletTemperatureK: number;
  /** Null or left out without a cooler. */
  readonly cooler?: { readonly effectiveness: number; readonly coolantTemperatureK: number } | null;
}

export interface ExpectedCharge {
  /** Manifold over inlet pressure, absolute. */
  readonly pressureRatio: number;
  readonly chargeTemperatureK: number;
  readonly outletTemperatureK: number;
  readonly iterations: number;
  /** Step of the ratio that was left. */
  readonly residual: number;
}

/**
 * Pressure ratio that a fixed-ratio blower makes: the one at which the engine swallows what the blower delivers, with the charge's heat counted.
 *
 * PR = [2 D r η_v/(V_d VE)] (T_m/T₁), T_m from PR by the outlet temperature and the cooler; solved by Newton with a numerical slope.
 *
 * @param blower displacement, ratio, efficiencies, temperatures
 * @returns ratio and temperatures, and how the solver ended; PR 1 where the blower delivers less than the engine draws (its bypass opens)
 * @throws E_BLOWER for inputs that no engine has, E_BEYOND_MODEL above a ratio of 4, E_NOT_CONVERGED
 *
 * Validity: single efficiencies hold near one point; cooler without pressure loss. Mass flow for each turn depends on r, p₁/T₁ and η_v, not on the charge's temperature: hot charge raises boost without raising air.
 *
 * Source: mass balance, [HEYWOOD1988] ch. 6 (from memory).
 *
 * @example
 * ```ts
 * import { expectedPressureRatio } from '@pullproof/core';
 *
 * const blower = {
 *   blowerDisplacementM3: 0.00184,
 *   engineDisplacementM3: 0.0046,
 *   driveRatio: 2,
 *   volumetricEfficiency: 0.85,
 *   blowerVolumetricEfficiency: 0.88,
 *   adiabaticEfficiency: 0.6,
 *   inletTemperatureK: 298.15,
 * };
 * expectedPressureRatio(blower).pressureRatio.toFixed(3); // => '2.471'
 * ```
 */
export function expectedPressureRatio(blower: BlowerOnEngine): ExpectedCharge {
  const cold =
    (2 * blower.blowerDisplacementM3 * blower.driveRatio * blower.blowerVolumetricEfficiency) /
    (blower.engineDisplacementM3 * blower.volumetricEfficiency);
  if (!(cold > 0) || !(blower.inletTemperatureK > 0)) {
    throw new PullproofError(
      'E_BLOWER',
      'The blower or the engine has a size, ratio, efficiency or temperature that none has.',
      {},
      'Give values above zero.',
    );
  }
  const heat = (pressureRatio: number): { readonly outletK: number; readonly chargeK: number } => {
    const outletK = blowerOutletTemperatureK(blower.inletTemperatureK, pressureRatio, blower.adiabaticEfficiency);
    const { cooler = null } = blower;
    return { outletK, chargeK: cooler === null ? outletK : cooledTemperatureK(outletK, cooler.coolantTemperatureK, cooler.effectiveness) };
  };
  const excess = (pressureRatio: number): number => (cold * heat(pressureRatio).chargeK) / blower.inletTemperatureK - pressureRatio;
  if (excess(1) <= 0) return charge(1, heat(1), 0, 0);
  if (!(excess(highestRatio) <= 0)) throw beyond();
  // What the blower has too much is concave in the ratio and above zero at 1: one crossing, and Newton from beyond it never overshoots.
  let ratio = highestRatio;
  let step = Number.POSITIVE_INFINITY;
  for (let iterations = 1; iterations <= 100; iterations++) {
    const here = excess(ratio);
    const slope = (here - excess(ratio * (1 - 1e-6))) / (ratio * 1e-6);
    step = here / slope;
    ratio -= step;
    if (Math.abs(step) < 1e-10 * ratio) return charge(ratio, heat(ratio), iterations, Math.abs(step));
  }
  throw new PullproofError(
    'E_NOT_CONVERGED',
    `No pressure ratio balances blower and engine (step left ${step.toExponential(1)}).`,
    {},
    'Check displacement, drive ratio and efficiencies.',
  );
}

/** Constant κ and one efficiency are stretched far enough here. */
const highestRatio = 4;

function beyond(): PullproofError {
  return new PullproofError(
    'E_BEYOND_MODEL',
    `The balance lies beyond a pressure ratio of ${highestRatio}, where no single-stage blower works and this model does not hold.`,
    {},
    'Check displacement, drive ratio and efficiencies.',
  );
}

function charge(
  pressureRatio: number,
  heat: { readonly outletK: number; readonly chargeK: number },
  iterations: number,
  residual: number,
): ExpectedCharge {
  return { pressureRatio, chargeTemperatureK: heat.chargeK, outletTemperatureK: heat.outletK, iterations, residual };
}

/**
 * What a pulley change alone should have done to a pressure ratio that was measured before it: the same engine and blower, another drive ratio.
 *
 * The product of the unknown efficiencies is taken from what was measured before, so that only the heat must be modelled.
 *
 * @param measured pressure ratio and charge temperature before, inlet temperature, and both drive ratios
 * @returns expected ratio after, and the plain ratio × r₂/r₁ that ignores heat
 * @throws E_BLOWER, E_BEYOND_MODEL, E_NOT_CONVERGED
 *
 * Validity: at the same engine speed; the bypass closed; efficiencies unchanged from before to after.
 */
export function expectedAfterPulleyChange(measured: {
  readonly pressureRatio: number;
  readonly chargeTemperatureK: number;
  readonly inletTemperatureK: number;
  readonly driveRatioBefore: number;
  readonly driveRatioAfter: number;
  readonly adiabaticEfficiency: number;
  readonly cooler?: { readonly effectiveness: number; readonly coolantTemperatureK: number } | null;
}): { readonly expected: ExpectedCharge; readonly withoutHeat: number } {
  const cold = (measured.pressureRatio * measured.inletTemperatureK) / measured.chargeTemperatureK;
  const expected = expectedPressureRatio({
    blowerDisplacementM3: cold / (2 * measured.driveRatioBefore),
    engineDisplacementM3: 1,
    driveRatio: measured.driveRatioAfter,
    volumetricEfficiency: 1,
    blowerVolumetricEfficiency: 1,
    adiabaticEfficiency: measured.adiabaticEfficiency,
    inletTemperatureK: measured.inletTemperatureK,
    cooler: measured.cooler ?? null,
  });
  return { expected, withoutHeat: (measured.pressureRatio * measured.driveRatioAfter) / measured.driveRatioBefore };
}
