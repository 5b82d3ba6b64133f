import { findUnit } from './findUnit.js';
import type { Dimension, Unit } from './unit.js';

/** System that a unit belongs to; null for units of both, such as rpm or %. */
export type UnitSystem = 'metric' | 'imperial';

const imperialSymbols: ReadonlySet<string> = new Set([
  ...['psi', 'inHg', 'inH2O', '°F', '°R', 'mph', 'ft/s', 'lb', 'oz', 'gal', 'imp gal', 'qt', 'in^3', 'ft^3', 'in', 'ft', 'yd', 'mi'],
  ...['ft^2', 'in^2', 'hp', 'ft lbf/s', 'lb ft', 'in lb', 'lbf', 'lb/s', 'lb/min', 'lb/h', 'gal/h', 'cfm', 'lb/gal', 'lb/ft^3', 'ft/s^2'],
  ...['lb ft^2', 'lbf/mph', 'lbf/mph^2', 'lb/(hp h)'],
]);

const dimensionsOfNoSystem: ReadonlySet<Dimension> = new Set([
  'time',
  'engine-speed',
  'ratio',
  'angle',
  'voltage',
  'frequency',
  'air-fuel-ratio',
]);

/** The system that a unit belongs to; null for units of both, such as rpm or %. */
export function systemOf(unit: Unit): UnitSystem | null {
  if (dimensionsOfNoSystem.has(unit.dimension)) return null;
  return imperialSymbols.has(unit.symbol) ? 'imperial' : 'metric';
}

/** Kinds of quantity that a logger's owner chose the units of, one vote each: what an engine computer sends in g/s or N m says nothing of its owner. */
const voting: readonly Dimension[] = ['temperature', 'speed', 'pressure'];

/**
 * The system that logs are written in: temperature, speed and pressure have one vote each, by most of their columns.
 *
 * @param units symbols of the units of all columns
 * @returns null where nothing was logged in a unit of a system, or the votes are even
 */
/** The system that a unit belongs to; null for units of both, such as rpm or %. */
export function systemOfColumns(units: readonly string[]): UnitSystem | null {
  const found = units.flatMap((symbol) => (symbol === '' ? [] : (findUnit(symbol) ?? [])));
  const votes = voting.map((dimension) => {
    const own = found.filter((unit) => unit.dimension === dimension);
    return Math.sign(own.reduce((sum, unit) => sum + (systemOf(unit) === 'imperial' ? 1 : -1), 0));
  });
  const balance = votes.reduce((sum, vote) => sum + vote, 0);
  return balance === 0 ? null : balance > 0 ? 'imperial' : 'metric';
}
