import type { BandedNumber, StripMark } from '@pullproof/core';
import { bandText, displayUnits, numberText, type UnitSystem } from '@pullproof/figures';

/** Seconds with their margin. */
export function secondsText(
  { value, low, high }: BandedNumber,
  options: { readonly signed?: boolean; readonly decimals?: number } = {},
): string {
  const { signed = false, decimals = 2 } = options;
  return low === high ? numberText(value, decimals, { signed }) : bandText(value, low, high, { decimals, unit: '', signed });
}

/** A speed with its margin in the unit of the reader. */
export function speedText({ value, low, high }: BandedNumber, units: UnitSystem, signed = false): string {
  const { fromSi } = displayUnits[units].speed;
  if (low === high) return numberText(fromSi(value), 1, { signed });
  return bandText(fromSi(value), fromSi(low), fromSi(high), { decimals: 1, unit: '', signed });
}

const marks: Partial<Record<StripMark, string>> = { '660ft': '1/8 mile', '1320ft': '1/4 mile' };

/** The mark in the words of the slip. */
export function markText(mark: StripMark): string {
  return marks[mark] ?? mark.replace('ft', ' ft');
}
