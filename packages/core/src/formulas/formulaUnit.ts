import { type Quantity, quantityUnits } from '../log/index.js';
import { type Dimension, findUnit } from '../units/index.js';

/** Powers of kilogram, metre, second, kelvin, volt and degree of angle. Angle counts as a unit of its own, so an engine speed is no frequency. */
export type UnitPowers = readonly number[];

const none: UnitPowers = [0, 0, 0, 0, 0, 0];

const powersOf: Readonly<Record<Dimension, UnitPowers>> = {
  ratio: none,
  'air-fuel-ratio': none,
  pressure: [1, -1, -2, 0, 0, 0],
  temperature: [0, 0, 0, 1, 0, 0],
  speed: [0, 1, -1, 0, 0, 0],
  'engine-speed': [0, 0, -1, 0, 0, 1],
  mass: [1, 0, 0, 0, 0, 0],
  volume: [0, 3, 0, 0, 0, 0],
  length: [0, 1, 0, 0, 0, 0],
  area: [0, 2, 0, 0, 0, 0],
  time: [0, 0, 1, 0, 0, 0],
  power: [1, 2, -3, 0, 0, 0],
  torque: [1, 2, -2, 0, 0, 0],
  force: [1, 1, -2, 0, 0, 0],
  'mass-flow': [1, 0, -1, 0, 0, 0],
  'volume-flow': [0, 3, -1, 0, 0, 0],
  density: [1, -3, 0, 0, 0, 0],
  'specific-consumption': [0, -2, 2, 0, 0, 0],
  angle: [0, 0, 0, 0, 0, 1],
  voltage: [0, 0, 0, 0, 1, 0],
  acceleration: [0, 1, -2, 0, 0, 0],
  inertia: [1, 2, 0, 0, 0, 0],
  frequency: [0, 0, -1, 0, 0, 0],
  'force-per-speed': [1, 0, -1, 0, 0, 0],
  'force-per-speed-squared': [1, -1, 0, 0, 0, 0],
};

/** One rpm is six degrees a second. */
const degPerSPerRpm = 6;

/** How a unit is shown: its name, and how many of the base units it is. */
interface ShownUnit {
  readonly symbol: string;
  readonly powers: UnitPowers;
  readonly inBase: number;
}

/** Units that results are shown in, the likelier reading of the same powers first. */
const shownUnits: readonly ShownUnit[] = (
  [
    ['1', 'ratio'],
    ['Pa', 'pressure'],
    ['K', 'temperature'],
    ['m/s', 'speed'],
    ['rpm', 'engine-speed', degPerSPerRpm],
    ['kg', 'mass'],
    ['m³', 'volume'],
    ['m', 'length'],
    ['m²', 'area'],
    ['s', 'time'],
    ['W', 'power'],
    ['N m', 'torque'],
    ['N', 'force'],
    ['kg/s', 'mass-flow'],
    ['m³/s', 'volume-flow'],
    ['kg/m³', 'density'],
    ['deg', 'angle'],
    ['V', 'voltage'],
    ['m/s²', 'acceleration'],
    ['kg m²', 'inertia'],
  ] as const
).map(([symbol, dimension, inBase = 1]) => ({ symbol, powers: powersOf[dimension], inBase }));

/** A number times a power of the base units. */
export interface UnitValue {
  readonly valueBase: number;
  readonly powers: UnitPowers;
  /** True for a reading on a scale whose zero is not nothing: °C and °F. */
  readonly onScale: boolean;
}

/** A number with a unit of the closed table, in base units; null where the text names no unit. */
export function valueInUnit(value: number, unitText: string): UnitValue | null {
  const unit = findUnit(unitText);
  if (unit === null || unit.dimension === 'air-fuel-ratio') return null;
  const scale = unit.dimension === 'engine-speed' ? degPerSPerRpm : 1;
  return { valueBase: unit.toSi(value) * scale, powers: powersOf[unit.dimension], onScale: unit.toSi(0) !== 0 };
}

/** Powers of a quantity of a log, and the number of base units in the unit that its channels are held in. */
export function unitOfQuantity(quantity: Quantity): { readonly powers: UnitPowers; readonly inBase: number } {
  const { dimension } = findUnit(quantityUnits[quantity])!;
  return { powers: powersOf[dimension], inBase: dimension === 'engine-speed' ? degPerSPerRpm : 1 };
}

/** The unit that a result is shown in: a usual one, one of them for each second or times seconds, or the base units written out. */
export function shownUnit(powers: UnitPowers): { readonly symbol: string; readonly inBase: number } {
  for (const [seconds, words] of [
    [0, (symbol: string) => symbol],
    [-1, (symbol: string) => (symbol.includes('/s') ? null : `${symbol}/s`)],
    [1, (symbol: string) => (symbol === '1' || symbol === 's' || symbol.includes('/s') ? null : `${symbol} s`)],
    [-2, (symbol: string) => (symbol.includes('/s') ? null : `${symbol}/s²`)],
  ] as const) {
    const wanted = powers.map((power, i) => (i === 2 ? power - seconds : power));
    for (const unit of shownUnits) {
      const symbol = samePowers(unit.powers, wanted) ? words(unit.symbol) : null;
      if (symbol !== null) return { symbol, inBase: unit.inBase };
    }
  }
  return { symbol: baseSymbol(powers), inBase: 1 };
}

function baseSymbol(powers: UnitPowers): string {
  const named = (sign: 1 | -1): string[] =>
    ['kg', 'm', 's', 'K', 'V', 'deg'].flatMap((base, i) => (sign * powers[i]! > 1e-9 ? [`${base}${raised(sign * powers[i]!)}`] : []));
  const [above, below] = [named(1), named(-1)];
  const under = below.length > 1 ? `(${below.join(' ')})` : below.join('');
  return `${above.join(' ') || '1'}${under === '' ? '' : `/${under}`}`;
}

function raised(power: number): string {
  return isZero(power - 1) ? '' : isZero(power - 2) ? '²' : isZero(power - 3) ? '³' : `^${Number(power.toFixed(3))}`;
}

export function samePowers(a: UnitPowers, b: UnitPowers): boolean {
  return a.every((power, i) => isZero(power - b[i]!));
}

/** True for a plain number. */
export function isPlain(powers: UnitPowers): boolean {
  return powers.every(isZero);
}

/** Roots make broken powers, and rounding must not tell a third of three from one. */
function isZero(power: number): boolean {
  return Math.abs(power) < 1e-9;
}

/** Powers of a product: `sign` 1; of a quotient: −1. */
export function joinedPowers(a: UnitPowers, b: UnitPowers, sign: 1 | -1): UnitPowers {
  return a.map((power, i) => power + sign * b[i]!);
}

export function raisedPowers(powers: UnitPowers, exponent: number): UnitPowers {
  return powers.map((power) => power * exponent);
}

/** Powers of a plain number, of an angle, and of a time. */
export const plainPowers: UnitPowers = none;
export const anglePowers: UnitPowers = powersOf.angle;
export const timePowers: UnitPowers = powersOf.time;
