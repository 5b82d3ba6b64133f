import { shownName } from '../text/shownName.js';
import type { Quantity } from '../words/quantities.js';
import { quantityDimensions } from '../words/quantityDimensions.js';
import type { Column } from './column.js';
import { type Recognition, recogniseBy } from './columnChannel.js';
import { equivalenceRatio } from './equivalenceRatio.js';
import { rangeOf, type ValueRange } from './valueRange.js';

/** A unit that another channel of the log settles. */
interface Settled {
  readonly unit: string;
  readonly because: string;
}

/**
 * Settles units that neither name nor numbers tell by the other channels of the log, and asks the log whether an equivalence ratio is lambda. A logger writes
 * all temperatures in one unit, all shares in one, and keeps to metric or to US units; what is taken from that counts as guessed.
 *
 * @returns for each column what it is
 */
export function settleByNeighbours(columns: readonly Column[], gaugeStoich: number): Recognition[] {
  return columns.map((column) => {
    const { recognition, named, resolved } = column;
    if (recognition.quantity === 'commanded-lambda') return equivalenceRatio(column, columns);
    if (recognition.quantity !== null || recognition.wanted === null || named.unit !== null || recognition.standing === 'stated')
      return recognition;
    const range = rangeOf(resolved.values);
    const found = range.count === 0 ? null : unitByNeighbours(recognition.wanted, column, range, columns);
    return found === null ? recognition : recogniseBy(named, found.unit, found.because, resolved.values, gaugeStoich);
  });
}

function unitByNeighbours(quantity: Quantity, column: Column, range: ValueRange, columns: readonly Column[]): Settled | null {
  switch (quantityDimensions[quantity][0]) {
    case 'temperature':
      return temperatureUnit(quantity, range, columns);
    case 'ratio':
      return shareUnit(range, columns);
    case 'speed':
      return speedUnit(column, range, columns);
    case 'mass-flow':
      return quantity === 'air-mass-flow' ? flowUnit(range, columns) : null;
    default:
      return null;
  }
}

/** Range that a temperature can have on a car, °C. Common practice, no source. */
const airC = { low: -40, high: 70 };
const hotAirC = { low: -40, high: 200 };
const coolantC = { low: -40, high: 135 };

function temperatureUnit(quantity: Quantity, { min, max }: ValueRange, columns: readonly Column[]): Settled | null {
  const settled = settledIn(columns, (unit) => unit === '°C' || unit === '°F');
  if (settled === null) return null;
  const can = quantity === 'coolant-temperature' ? coolantC : quantity === 'ambient-temperature' ? airC : hotAirC;
  const inC = (value: number): number => (settled.unit === '°C' ? value : ((value - 32) * 5) / 9);
  if (inC(min) < can.low || inC(max) > can.high) return null;
  return { unit: settled.unit, because: `as "${settled.name}" is` };
}

function shareUnit({ min, max }: ValueRange, columns: readonly Column[]): Settled | null {
  const settled = settledIn(columns, (unit) => unit === '%');
  if (settled === null || min < -100 || max > 102) return null;
  return { unit: '%', because: `as "${settled.name}" is` };
}

/** Engine speed over road speed in km/h, the least of a drive: from the tallest top gear to a car that never left second. Common practice, no source. */
const leastRpmPerKmh = { low: 10, high: 110 };

function speedUnit({ resolved }: Column, { min, max }: ValueRange, columns: readonly Column[]): Settled | null {
  const system = unitSystem(columns);
  const engine = columns.find(({ recognition }) => recognition.quantity === 'engine-speed' && recognition.unit === 'rpm');
  if (system === null || engine === undefined || min < 0) return null;
  const unit = system.metric ? 'km/h' : 'mph';
  const kmh = system.metric ? 1 : 1.609344;
  if (max * kmh > 400) return null;
  const ratios: number[] = [];
  for (const [i, speed] of resolved.values.entries()) {
    const rpm = engine.resolved.values[i]!;
    if (speed * kmh > 20 && rpm > 1000) ratios.push(rpm / (speed * kmh));
  }
  if (ratios.length < 10) return null;
  ratios.sort((a, b) => a - b);
  const least = ratios[Math.floor(0.05 * ratios.length)]!;
  if (!(least > leastRpmPerKmh.low && least < leastRpmPerKmh.high)) return null;
  return { unit, because: `as "${system.name}" is in ${system.unit} and engine speed over it is that of a car` };
}

function flowUnit({ min, max }: ValueRange, columns: readonly Column[]): Settled | null {
  const system = unitSystem(columns);
  if (system === null || min < 0) return null;
  // By SAE J1979 air flow is in g/s, up to 655.35.
  if (system.metric && max > 8 && max < 656)
    return { unit: 'g/s', because: `the unit of the standard, as "${system.name}" is in ${system.unit}` };
  return null;
}

const metricUnits: ReadonlySet<string> = new Set(['°C', 'kPa', 'hPa', 'mbar', 'bar', 'km/h', 'm/s', 'g/s', 'kg/h', 'L/h']);
const usUnits: ReadonlySet<string> = new Set(['°F', 'psi', 'inHg', 'mph', 'lb/min', 'lb/h', 'gal/h']);

/** Metric or US, where every settled channel agrees. */
function unitSystem(columns: readonly Column[]): { readonly metric: boolean; readonly unit: string; readonly name: string } | null {
  const metric = columns.find(({ recognition: { quantity, unit } }) => quantity !== null && metricUnits.has(unit));
  const us = columns.find(({ recognition: { quantity, unit } }) => quantity !== null && usUnits.has(unit));
  const one = metric ?? us;
  if (one === undefined || (metric !== undefined && us !== undefined)) return null;
  return { metric: metric !== undefined, unit: one.recognition.unit, name: shownName(one.head.name) };
}

/** The one unit of its kind in which settled channels are; null where none is, or they differ. */
function settledIn(columns: readonly Column[], fits: (unit: string) => boolean): { readonly unit: string; readonly name: string } | null {
  const found = columns.filter(({ recognition: { quantity, unit } }) => quantity !== null && fits(unit));
  const [first] = found;
  if (first === undefined || found.some(({ recognition }) => recognition.unit !== first.recognition.unit)) return null;
  return { unit: first.recognition.unit, name: shownName(first.head.name) };
}
