import { changeText, numberText } from '@pullproof/core';

export { changeText, numberText };

/** A number to a count of significant digits, for values whose size is not known beforehand. */
export function significantText(value: number | null | undefined, digits = 3): string {
  if (value === null || value === undefined || !Number.isFinite(value)) return '–';
  if (value === 0) return '0';
  const exponent = Math.floor(Math.log10(Math.abs(value)));
  if (exponent < -4 || exponent > 8) return value.toExponential(digits - 1).replace('-', '−');
  return numberText(value, Math.max(0, digits - 1 - exponent));
}

/** Fewer digits for a file that is to stay small: 5 significant ones are finer than a pixel. */
export function plotNumber(value: number | null | undefined): number | null {
  return value === null || value === undefined || !Number.isFinite(value) ? null : Number(value.toPrecision(5));
}

/** A change of power with its bounds: `+11 hp (+4.2 to +18)`; without the unit where its column names it. */
export function changeBandText(value: number, low: number, high: number, unit = ''): string {
  return `${changeText(value)}${unit === '' ? '' : ` ${unit}`} (${changeText(low)} to ${changeText(high)})`;
}

/** Value with its bounds: `+11 hp (+4 to +18)`. */
export function bandText(
  value: number | null | undefined,
  low: number | null | undefined,
  high: number | null | undefined,
  options: { readonly decimals: number; readonly unit: string; readonly signed?: boolean },
): string {
  const text = (number: number | null | undefined): string => numberText(number, options.decimals, { signed: options.signed === true });
  const known = value !== null && value !== undefined && Number.isFinite(value);
  if (!known) return '–';
  const bounded = low !== null && low !== undefined && high !== null && high !== undefined;
  return `${text(value)}${options.unit === '' ? '' : ` ${options.unit}`}${bounded ? ` (${text(low)} to ${text(high)})` : ''}`;
}
