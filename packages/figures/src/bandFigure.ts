import type { TrialResult } from '@pullproof/core';
import { type CurveName, curveFigure } from './curveFigure.js';
import { type DisplayUnit, displayUnits, plainUnit } from './displayUnits.js';
import type { Figure } from './figure.js';

/** Curves that are shown beside power and torque. */
export type BandCurve = Exclude<CurveName, 'wheelPowerW' | 'wheelTorqueNm'>;

/**
 * A logged quantity of every setup against engine speed, with bands: manifold pressure, lambda, charge temperature or spark advance.
 * @param result the trial's result
 * @param options which curve; level lines, such as a target, in SI
 * @returns a figure as plain data
 */
export function bandFigure(
  result: TrialResult,
  options: { readonly curve: BandCurve; readonly levels?: readonly { readonly valueSi: number; readonly label: string }[] },
): Figure {
  const units = displayUnits[result.units];
  const shown = {
    manifoldPressurePa: { title: 'Manifold pressure, absolute', unit: units.pressure },
    boostPa: { title: 'Boost, above the barometer', unit: units.pressure },
    pressureRatio: { title: 'Pressure ratio', unit: plainUnit('', 3), tickFormat: '.2f' },
    lambda: { title: 'Lambda', unit: plainUnit('', 3), tickFormat: '.3f' },
    chargeTemperatureK: { title: 'Charge temperature', unit: units.temperature },
    sparkAdvanceDeg: { title: 'Timing', unit: plainUnit('°', 1) },
  } satisfies Record<BandCurve, { title: string; unit: DisplayUnit; tickFormat?: string }>;
  return curveFigure(result, {
    curve: options.curve,
    ...shown[options.curve],
    ...(options.levels === undefined ? {} : { levels: options.levels }),
  });
}
