import type { CalculatedResult, TrialResult } from '@pullproof/core';
import { curvesFigure } from './curveFigure.js';
import { type DisplayQuantity, type DisplayUnit, displayUnits, plainUnit } from './displayUnits.js';
import type { Figure } from './figure.js';

/** Units of formulas that are read in another one; a temperature may be a difference, so it stays in K. */
const readAs: ReadonlyMap<string, DisplayQuantity> = new Map([
  ['Pa', 'pressure'],
  ['W', 'power'],
  ['N m', 'torque'],
  ['m/s', 'speed'],
]);

/**
 * A calculated quantity of every setup against engine speed, with bands.
 * @param result the trial's result
 * @param options `calculated`: which of its calculated quantities
 * @returns a figure as plain data; setups without it say why
 */
export function calculatedFigure(result: TrialResult, options: { readonly calculated: CalculatedResult }): Figure {
  const { name, setups } = options.calculated;
  return curvesFigure(
    setups.map(({ setup, curve, status }, place) => ({
      name: setup,
      place,
      curve,
      ...(status === null ? {} : { status: status.replace(/\.$/, '') }),
    })),
    { title: name, unit: calculatedUnit(options.calculated, result.units) },
  );
}

/**
 * The unit that a calculated quantity is read in, with as many decimals as its size needs.
 * @param calculated a calculated quantity of a result
 * @param units system that people read
 * @returns unit and decimals; a plain number has no symbol
 */
export function calculatedUnit({ unit, setups }: CalculatedResult, units: TrialResult['units']): DisplayUnit {
  const known = readAs.get(unit);
  const shown = known === undefined ? plainUnit(unit === '1' ? '' : unit, 3) : displayUnits[units][known];
  const sizes = setups.flatMap(({ curve }) => (curve?.value ?? []).map((value) => (value === null ? 0 : Math.abs(shown.fromSi(value)))));
  const largest = sizes.reduce((most, size) => Math.max(most, size), 0);
  return { ...shown, decimals: largest > 0 ? Math.min(8, Math.max(0, 3 - Math.ceil(Math.log10(largest)))) : 0 };
}
