import { type Dimension, findUnit } from '@pullproof/core';

/** Units in which people read a trial. */
export type UnitSystem = 'metric' | 'imperial';

/** A unit to read in: its symbol, the way from SI, and the usual resolution for reading. */
export interface DisplayUnit {
  readonly symbol: string;
  readonly fromSi: (valueSi: number) => number;
  readonly decimals: number;
}

/** Kinds of quantity that are read each in their own unit. */
export type DisplayQuantity =
  | 'power'
  | 'torque'
  | 'pressure'
  | 'weatherPressure'
  | 'temperature'
  | 'temperatureDifference'
  | 'speed'
  | 'wind'
  | 'mass'
  | 'density'
  | 'length'
  | 'area'
  | 'volume';

/** What each kind of quantity is read in. The factors are core's. */
export const displayUnits: Readonly<Record<UnitSystem, Readonly<Record<DisplayQuantity, DisplayUnit>>>> = {
  metric: {
    power: unit('kW', 'power', 1),
    torque: unit('N m', 'torque', 0),
    pressure: unit('kPa', 'pressure', 1),
    weatherPressure: unit('kPa', 'pressure', 2),
    temperature: unit('°C', 'temperature', 0),
    temperatureDifference: difference('°C', 'temperature', 1),
    speed: unit('km/h', 'speed', 0),
    wind: unit('m/s', 'speed', 1),
    mass: unit('kg', 'mass', 0),
    density: unit('kg/m³', 'density', 4),
    length: unit('m', 'length', 3),
    area: unit('m²', 'area', 3),
    volume: unit('L', 'volume', 1),
  },
  imperial: {
    power: unit('hp', 'power', 0),
    torque: unit('ft lb', 'torque', 0),
    pressure: unit('psi', 'pressure', 1),
    weatherPressure: unit('inHg', 'pressure', 2),
    temperature: unit('°F', 'temperature', 0),
    temperatureDifference: difference('°F', 'temperature', 1),
    speed: unit('mph', 'speed', 0),
    wind: unit('mph', 'speed', 1),
    mass: unit('lb', 'mass', 0),
    density: unit('lb/ft³', 'density', 5),
    length: unit('in', 'length', 2),
    area: unit('ft²', 'area', 2),
    volume: unit('US gal', 'volume', 2),
  },
};

/** A unit that is shown as it is held. */
export function plainUnit(symbol: string, decimals: number): DisplayUnit {
  return { symbol, fromSi: (value) => value, decimals };
}

/** A share as people read it. */
export const shareInPercent: DisplayUnit = { symbol: '%', fromSi: (value) => value * 100, decimals: 1 };

/**
 * An SI value in the unit that people read.
 * @param valueSi value in SI, null where there is none
 * @param unit from `displayUnits`
 * @returns the value in that unit; null stays null
 */
export function inDisplayUnit(valueSi: number | null, unit: DisplayUnit): number | null {
  return valueSi === null ? null : unit.fromSi(valueSi);
}

const quantityOf: Partial<Record<Dimension, DisplayQuantity>> = {
  power: 'power',
  torque: 'torque',
  pressure: 'pressure',
  temperature: 'temperature',
  speed: 'speed',
  mass: 'mass',
  density: 'density',
  length: 'length',
  area: 'area',
  volume: 'volume',
};

/**
 * The unit that people read for an SI unit, by its symbol.
 * @param siSymbol for example `Pa`; `1` for a plain number
 * @param system the trial's units
 * @returns the unit to read in; what is not a known SI unit is shown as it is
 */
export function displayUnitFor(siSymbol: string, system: UnitSystem): DisplayUnit {
  const found = siSymbol === '1' || siSymbol === '' ? null : findUnit(siSymbol);
  const quantity = found === null || found.toSi(1) !== 1 ? undefined : quantityOf[found.dimension];
  return quantity === undefined ? plainUnit(siSymbol === '1' ? '' : siSymbol, 3) : displayUnits[system][quantity];
}

function unit(symbol: string, dimension: Dimension, decimals: number): DisplayUnit {
  const found = findUnit(symbol, dimension);
  if (found === null) throw new TypeError(`${symbol} is missing from the table of units.`);
  return { symbol, fromSi: found.fromSi, decimals };
}

/** A difference has no zero to shift. */
function difference(symbol: string, dimension: Dimension, decimals: number): DisplayUnit {
  const whole = unit(symbol, dimension, decimals);
  return { ...whole, fromSi: (value) => whole.fromSi(value) - whole.fromSi(0) };
}
