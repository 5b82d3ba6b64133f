import type { RouteResult, TrialResult } from '@pullproof/core';
import { curvesFigure } from './curveFigure.js';
import { displayUnits } from './displayUnits.js';
import { emptyFigure, type Figure } from './figure.js';

/**
 * Crank power of one setup by every route that is open, against engine speed, with bands.
 * @param result the trial's result
 * @param options `setup`: place of the setup in the result
 * @returns a figure as plain data; closed routes say what would open them
 */
export function routesFigure(result: TrialResult, options: { readonly setup: number }): Figure {
  const routes = result.setups[options.setup]?.routes ?? null;
  if (routes === null) return emptyFigure('No pull that could be used.');
  return curvesFigure(
    routes.routes.map((route: RouteResult, place) => ({
      name: route.name,
      place,
      curve: route.crankPowerW,
      ...(route.status === null ? {} : { status: route.status.replace(/\.$/, '') }),
    })),
    { title: 'Crank power', unit: displayUnits[result.units].power },
  );
}
