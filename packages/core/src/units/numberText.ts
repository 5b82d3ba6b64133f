/**
 * A number as people read it: thousands set apart, a true minus sign, no negative zero.
 *
 * @param value the number; null or not finite becomes `–`
 * @param decimals digits after the point
 * @param options `signed` puts a plus before a positive number
 * @returns the text
 * @example
 * ```ts
 * import { numberText } from '@pullproof/core';
 * numberText(-4210.4, 0); // => '−4,210'
 * numberText(11.2, 0, { signed: true }); // => '+11'
 * ```
 */
export function numberText(value: number | null | undefined, decimals: number, options: { readonly signed?: boolean } = {}): string {
  if (value === null || value === undefined || !Number.isFinite(value)) return '–';
  const [whole, fraction] = Math.abs(value).toFixed(decimals).split('.') as [string, string?];
  const digits = whole.replace(/\B(?=(\d{3})+(?!\d))/g, ',') + (fraction === undefined ? '' : `.${fraction}`);
  const isZero = /^[0,.]*$/.test(digits);
  const sign = isZero ? '' : value < 0 ? '−' : options.signed === true ? '+' : '';
  return sign + digits;
}

/**
 * A change of power as people read it, wherever it stands: with its sign, one decimal below 10, none from there on.
 *
 * @param value in the unit that is shown beside it, such as hp; null or not finite becomes `–`
 * @returns the text
 * @example
 * ```ts
 * import { changeText } from '@pullproof/core';
 * changeText(-10.92); // => '−11'
 * changeText(3.84); // => '+3.8'
 * ```
 */
export function changeText(value: number | null | undefined): string {
  // What would be shown as 10.0 is shown as 10.
  const small = value !== null && value !== undefined && Math.abs(value) < 9.95;
  return numberText(value, small ? 1 : 0, { signed: true });
}

/**
 * An engine speed as people read it.
 *
 * @param engineSpeedRpm rpm; null or not finite becomes `–`
 * @returns the text, to a whole rpm, with its unit
 * @example
 * ```ts
 * import { rpmText } from '@pullproof/core';
 * rpmText(6549.7); // => '6,550 rpm'
 * ```
 */
export function rpmText(engineSpeedRpm: number | null | undefined): string {
  return `${numberText(engineSpeedRpm, 0)} rpm`;
}
