import { type TableEntry, unitTable } from './table.js';
import type { Dimension, PressureReference, Unit } from './unit.js';

const exact = new Map<string, Unit[]>();
const anyCase = new Map<string, Unit[]>();

for (const [dimension, entries] of Object.entries(unitTable) as [Dimension, readonly TableEntry[]][]) {
  for (const entry of entries) {
    const unit = unitFromEntry(entry, dimension);
    for (const spelling of [entry.symbol, ...entry.aliases]) {
      const key = compact(spelling);
      add(exact, key, unit);
      add(anyCase, key.toLowerCase(), unit);
    }
  }
}

const references: readonly { readonly ending: RegExp; readonly reference: PressureReference }[] = [
  { ending: /(?:absolute|abs|a)$/i, reference: 'absolute' },
  { ending: /(?:gauge|gage|relative|rel|g)$/i, reference: 'gauge' },
];

/**
 * Finds the unit that a text names, by a closed table of our own: `C` is Celsius, `F` is Fahrenheit, `bar g` is a gauge pressure.
 *
 * Spaces, dots, hyphens, carets, raised figures and brackets around the whole or the reference do not matter; letter case is tried exactly first, then ignored.
 *
 * @param text unit as written, such as `kPa abs`, `deg F`, `lb-ft`, `m²`
 * @param dimension the dimension wanted, where a spelling could be two (`g`: mass, or acceleration); it does not restrict what is found otherwise
 * @returns the unit, or null when the text is empty or names none
 *
 * Validity: any text. Nothing is guessed from a part of it.
 * Source: definitions of the units; factors agree with [SP811].
 *
 * @example
 * ```ts
 * import { findUnit } from '@pullproof/core';
 * findUnit('bar g')?.reference; // => 'gauge'
 * findUnit('deg F')?.toSi(32); // => 273.15
 * ```
 */
export function findUnit(text: string, dimension?: Dimension): Unit | null {
  const key = compact(text);
  if (key === '') return null;
  const plain = lookUp(key, dimension);
  if (plain !== null) return plain;
  for (const { ending, reference } of references) {
    const base = key.replace(ending, '');
    if (base === key) continue;
    const unit = lookUp(base, 'pressure');
    if (unit?.dimension === 'pressure') return { ...unit, reference };
  }
  return null;
}

/** Symbols of a dimension, our own spelling, in the table's order. */
export function unitSymbols(dimension: Dimension): readonly string[] {
  return unitTable[dimension].map((entry) => entry.symbol);
}

/** One spelling for the many ways in which people write the same unit. */
function compact(text: string): string {
  const plain = text
    .replace(/Â°|º|˚/g, '°')
    .replace(/[“”″]/g, '"')
    .replace(/[‘’′]/g, "'")
    .replace(/[−–—]/g, '-')
    .normalize('NFKC')
    .replace(/[\u2212]/g, '-')
    .trim();
  const bare = plain.replace(/^\(([^()]*)\)$|^\[([^[\]]*)\]$|^\{([^{}]*)\}$/, '$1$2$3');
  return bare
    .replace(/\s*[([]\s*([a-z .]+?)\s*[)\]]$/i, ' $1')
    .replace(/(?<=\p{L})[\s.·⋅*×_-]+(?=\p{L})/gu, '')
    .replace(/[\s^]/g, '')
    .replace(/\.$/, '');
}

function lookUp(key: string, dimension: Dimension | undefined): Unit | null {
  const found = exact.get(key) ?? anyCase.get(key.toLowerCase());
  if (found === undefined) return null;
  return found.find((unit) => unit.dimension === dimension) ?? found[0]!;
}

function unitFromEntry({ symbol, times, per, shift }: TableEntry, dimension: Dimension): Unit {
  return {
    symbol,
    dimension,
    reference: null,
    toSi: (value) => ((value + shift) * times) / per,
    fromSi: (valueSi) => (valueSi * per) / times - shift,
  };
}

function add(into: Map<string, Unit[]>, key: string, unit: Unit): void {
  const units = into.get(key);
  if (units === undefined) into.set(key, [unit]);
  else if (!units.includes(unit)) units.push(unit);
}
