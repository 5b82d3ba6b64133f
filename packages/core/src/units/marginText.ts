import { numberText } from './numberText.js';

/**
 * Digits after the point that a value and its margin share: one while the margin is below 2, none from there up.
 *
 * @param half half of the range that the true value is in, in the unit that is shown
 */
export function marginDecimals(half: number): number {
  return Math.abs(half) < 2 ? 1 : 0;
}

/** A change with the range that it could be, in a direction that was said already. */
export interface MarginText {
  readonly size: string;
  readonly range: string;
}

/**
 * The size of a gain or a loss and what it could be, rounded by the margin, without a sign: the word before it has the direction. Where the range takes in
 * the other direction as well, its ends carry signs.
 *
 * @param value the change, in the unit that is shown
 * @param low
 * @param high ends of its range
 * @returns such as `{ size: '14', range: '11 to 17' }`
 * @example
 * ```ts
 * import { marginText } from '@pullproof/core';
 * marginText(-14.6, -21.1, -8.1); // => { size: '15', range: '8 to 21' }
 * ```
 */
export function marginText(value: number, low: number, high: number): MarginText {
  const decimals = marginDecimals((high - low) / 2);
  const oneSign = low * high > 0;
  const [near, far] = oneSign && value < 0 ? [-high, -low] : [low, high];
  const end = (number: number): string => numberText(number, decimals, { signed: !oneSign });
  return { size: numberText(Math.abs(value), decimals), range: `${end(near)} to ${end(far)}` };
}
