import type { TrialResult } from '@pullproof/core';
import { curveFigure } from './curveFigure.js';
import { displayUnits } from './displayUnits.js';
import type { Figure } from './figure.js';

/**
 * Wheel power of every setup against engine speed, uncorrected, with bands.
 * @param result the trial's result
 * @returns a figure as plain data
 */
export function powerFigure(result: TrialResult): Figure {
  return curveFigure(result, { curve: 'wheelPowerW', title: 'Wheel power', unit: displayUnits[result.units].power });
}

/**
 * Wheel torque, as turned at the engine's speed, of every setup against engine speed, uncorrected, with bands.
 * @param result the trial's result
 * @returns a figure as plain data
 */
export function torqueFigure(result: TrialResult): Figure {
  return curveFigure(result, { curve: 'wheelTorqueNm', title: 'Wheel torque', unit: displayUnits[result.units].torque });
}
