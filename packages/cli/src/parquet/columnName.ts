import { type Channel, quantityUnits } from '@pullproof/core';

/** SI units as they stand at the end of a column's name; a bare number has none. */
const suffixes: Readonly<Record<string, string>> = {
  s: '_s',
  rpm: '_rpm',
  'm/s': '_mps',
  Pa: '_pa',
  K: '_k',
  '1': '',
  'kg/s': '_kgps',
  'm³/s': '_m3ps',
  deg: '_deg',
  V: '_v',
  'm/s²': '_mps2',
  m: '_m',
};

/** SI unit of a channel's values; null where it was not recognised, and the values are as logged. */
export function siUnitOf({ quantity }: Channel): string | null {
  return quantity === null ? null : quantityUnits[quantity];
}

/**
 * Names for the columns of channels: what the channel is and its SI unit, as in `manifold_pressure_pa`, so that logs of any logger stand under the same name;
 * a second channel of a quantity, or one that was not recognised, is told apart by bank, place or number.
 */
export function columnNames(channels: readonly Channel[]): string[] {
  const taken = new Set<string>();
  return channels.map((channel) => {
    const base = baseName(channel);
    let name = base;
    for (let n = 2; taken.has(name); n++) name = `${base}_${n}`;
    taken.add(name);
    return name;
  });
}

function baseName(channel: Channel): string {
  const { quantity, reference, bank, position, name, column } = channel;
  if (quantity === null) {
    const word = name
      .normalize('NFKC')
      .toLowerCase()
      .replaceAll(/[^\p{L}\p{N}]+/gu, '_')
      .replaceAll(/^_+|_+$/g, '');
    return `other_${word === '' ? column + 1 : Array.from(word).slice(0, 60).join('')}`;
  }
  const where = [
    reference === 'gauge' ? '_gauge' : '',
    bank === null || bank === 1 ? '' : `_bank${bank}`,
    position === null ? '' : `_${position}`,
  ];
  return `${quantity}${where.join('')}${suffixes[quantityUnits[quantity]]}`.replaceAll('-', '_');
}
