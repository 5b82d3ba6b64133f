import { type Place, PullproofError } from '../findings/index.js';
import { findUnit, unitSymbols } from './findUnit.js';
import { type Dimension, dimensions, type PressureReference, type Unit } from './unit.js';

/** A quantity as read from a text. */
export interface ParsedQuantity {
  readonly valueSi: number;
  readonly unit: Unit;
  /** For a pressure that says so (`abs`, `gauge`); null otherwise. */
  readonly reference: PressureReference | null;
}

const numberAndUnit = /^([+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?)\s*(.*)$/su;

/**
 * Reads `number unit`, such as `3260 lb`, `29.61 inHg`, `9 gal` (US) or `45 %`.
 *
 * @param text the text, or a bare number as a YAML reader hands it over
 * @param dimension what is wanted
 * @param place where it stands, for the message
 * @returns the value in SI (ratios 0–1, engine speed in rpm, angles in deg) with its unit
 * @throws E_QUANTITY when it does not begin with one plain number, E_UNIT_MISSING for a bare number (ratios and air-fuel ratios may be bare),
 * E_UNIT_UNKNOWN, E_UNIT_DIMENSION naming what was needed and given
 *
 * Validity: decimal point only; a comma in the number is refused, as it could mean either thing.
 *
 * @example
 * ```ts
 * import { parseQuantity } from '@pullproof/core';
 * parseQuantity('36 km/h', 'speed', {}).valueSi; // => 10
 * parseQuantity('45 %', 'ratio', { field: 'air.humidity' }).valueSi; // => 0.45
 * ```
 */
export function parseQuantity(text: string | number, dimension: Dimension, place: Place): ParsedQuantity {
  const { example, bare } = dimensions[dimension];
  const written = String(text).trim();
  const match = numberAndUnit.exec(written);
  const value = match === null ? Number.NaN : Number(match[1]);
  if (match === null || !Number.isFinite(value) || /^[,\d]/.test(match[2]!)) {
    throw new PullproofError(
      'E_QUANTITY',
      `"${written}" is not a number followed by a unit of ${dimension}.`,
      place,
      `Write it like ${example}, with a point before decimals and no separator between thousands.`,
    );
  }
  const unitText = match[2]!;
  if (unitText === '' && !bare) {
    throw new PullproofError(
      'E_UNIT_MISSING',
      `${written} has no unit; a unit of ${dimension} is needed.`,
      place,
      `Write it like ${example} (${unitSymbols(dimension).join(', ')}).`,
    );
  }
  const unit = findUnit(unitText === '' ? dimensions[dimension].si : unitText, dimension);
  if (unit === null) {
    throw new PullproofError(
      'E_UNIT_UNKNOWN',
      `"${unitText}" in "${written}" is not a unit that is known here; a unit of ${dimension} is needed.`,
      place,
      `Use one of: ${unitSymbols(dimension).join(', ')}.`,
    );
  }
  if (unit.dimension !== dimension) {
    throw new PullproofError(
      'E_UNIT_DIMENSION',
      `needed a ${dimension}, given ${written}, which is a ${unit.dimension}.`,
      place,
      `Write it like ${example} (${unitSymbols(dimension).join(', ')}).`,
    );
  }
  return { valueSi: unit.toSi(value), unit, reference: unit.reference };
}
