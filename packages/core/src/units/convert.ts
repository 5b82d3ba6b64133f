import { PullproofError } from '../findings/index.js';
import { findUnit } from './findUnit.js';
import { dimensions, type Unit } from './unit.js';

/**
 * Converts a number from one unit to another of the same dimension.
 *
 * @param value number in `from`
 * @param from unit text such as `inHg`
 * @param to unit text such as `kPa`
 * @returns number in `to`; NaN stays NaN
 * @throws E_UNIT_UNKNOWN when a text names no unit, E_UNIT_DIMENSION when the two measure different things, or one is absolute and the other gauge
 *
 * Validity: any number; no range is checked.
 * Source: [SP811].
 *
 * @example
 * ```ts
 * import { convert } from '@pullproof/core';
 * convert(60, 'mph', 'km/h').toFixed(4); // => '96.5606'
 * ```
 */
export function convert(value: number, from: string, to: string): number {
  const source = known(from);
  const target = known(to, source);
  if (source.dimension !== target.dimension) {
    throw new PullproofError(
      'E_UNIT_DIMENSION',
      `cannot turn ${from} (${source.dimension}) into ${to} (${target.dimension}).`,
      {},
      `Ask for a unit of ${source.dimension}, such as ${dimensions[source.dimension].si}.`,
    );
  }
  if (source.reference !== null && target.reference !== null && source.reference !== target.reference) {
    throw new PullproofError(
      'E_UNIT_DIMENSION',
      `cannot turn ${from} (${source.reference}) into ${to} (${target.reference}) without the air pressure.`,
      {},
      'Add or take off the station pressure first.',
    );
  }
  return target.fromSi(source.toSi(value));
}

function known(text: string, like?: Unit): Unit {
  const unit = findUnit(text, like?.dimension);
  if (unit === null) throw new PullproofError('E_UNIT_UNKNOWN', `"${text}" is not a unit that is known here.`, {}, 'Check the spelling.');
  return unit;
}
