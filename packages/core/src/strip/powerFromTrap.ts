import type { Banded } from './forecastPass.js';
import { learnFromSlips, type Slip } from './learnFromSlips.js';
import type { PassModel, UncertainDay } from './passInputs.js';

/**
 * The multiplier on the measured power curve that reproduces a slip's trap speed, launch and shifts learned from the same slip.
 *
 * @param slip as printed
 * @param model the car with its measured curve
 * @param day what the pass met
 * @returns the multiplier at 95 %, what the slip and what the pulls leave open together: the two agree where it holds 1; null without a quarter-mile speed
 */
export function powerFromTrap(slip: Slip, model: PassModel, day: UncertainDay): Banded | null {
  const trap = slip.trapsMps['1320ft'];
  if (trap === undefined) return null;
  // The prior of power is opened so wide that the slip alone speaks.
  const open: PassModel = { ...model, spreads: { ...model.spreads, powerShare: 0.5, powerSlopeShare: 0.005 } };
  const learned = learnFromSlips(open, [{ slip, day }]);
  const fitted = learned.slips[0]!.fitted.trapsMps['1320ft']!;
  const value = Math.exp(0.5 * learned.carZ[0]!) * (trap / fitted) ** 3;
  const spread = Math.hypot(0.5 * Math.sqrt(learned.covariance[0]!), model.spreads.powerShare);
  return { value, low: value * Math.exp(-1.96 * spread), high: value * Math.exp(1.96 * spread) };
}
