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
