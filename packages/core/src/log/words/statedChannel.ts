import { type Place, PullproofError } from '../../findings/index.js';
import { findUnit, type Unit } from '../../units/index.js';
import { type Quantity, quantityUnits } from './quantities.js';
import { quantityDimensions } from './quantityDimensions.js';

/** What the user says a column is. `quantity` null: leave it out of everything. */
export interface StatedChannel {
  readonly quantity: Quantity | null;
  readonly unit: Unit | null;
  readonly reference: 'absolute' | 'gauge' | null;
  readonly bank: number | null;
}

/**
 * Reads what stands beside a column in `channels`: `manifold-pressure kPa abs`, `lambda bank 2`, `road-speed mph`, `gear`, or `ignore`.
 *
 * @throws E_CHANNEL when the quantity or unit is not known, or they do not go together
 */
export function readStatedChannel(text: string, column: string, where: Place): StatedChannel {
  const [head = '', ...tail] = text.trim().split(/\s+/);
  if (head === 'ignore' && tail.length === 0) return { quantity: null, unit: null, reference: null, bank: null };
  if (!Object.hasOwn(quantityUnits, head)) {
    refuse(`"${head}" is no quantity.`, `Use one of: ${Object.keys(quantityUnits).join(', ')}, ignore.`, column, where);
  }
  const quantity = head as Quantity;
  let rest = tail.join(' ');
  const bank = /\s*\bbank\s*([1-4])\b/i.exec(rest);
  if (bank !== null) rest = rest.replace(bank[0], '').trim();
  const reference = /\s*\b(absolute|abs|gauge|gage)\.?$/i.exec(` ${rest}`);
  if (reference !== null) rest = rest.slice(0, Math.max(0, rest.length - reference[0].trimStart().length)).trim();
  const dimensions = quantityDimensions[quantity];
  let unit: Unit | null = null;
  if (rest !== '') {
    unit = dimensions.map((dimension) => findUnit(rest, dimension)).find((found, i) => found?.dimension === dimensions[i]) ?? null;
    if (unit === null) {
      refuse(`"${rest}" is no unit of ${quantity}.`, `Write it like ${quantity} ${quantityUnits[quantity]}.`, column, where);
    }
  }
  return {
    quantity,
    unit,
    reference: reference === null ? (unit?.reference ?? null) : reference[1]!.toLowerCase().startsWith('abs') ? 'absolute' : 'gauge',
    bank: bank === null ? null : Number(bank[1]),
  };
}

function refuse(what: string, fix: string, channel: string, where: Place): never {
  throw new PullproofError('E_CHANNEL', what, { ...where, channel }, fix);
}
