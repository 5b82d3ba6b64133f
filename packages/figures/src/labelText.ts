const longestLabel = 48;

/**
 * Text that may stand in a plotly label, which reads some characters as mark-up: those, and control and direction characters, are taken out.
 * @param text any text, also from a log
 * @param options `longest` in characters
 * @returns inert text, cut with an ellipsis
 * @example
 * ```ts
 * import { labelText } from '@pullproof/figures';
 * labelText('<a href="javascript:x">74 mm</a> $x$'); // => 'a href="javascript:x"74 mm/a x'
 * ```
 */
export function labelText(text: string, options: { readonly longest?: number } = {}): string {
  const longest = options.longest ?? longestLabel;
  const inert = text
    .replace(/[<>$]/g, '')
    .replace(/[\u0000-\u001f\u007f-\u009f\u061c\u200b-\u200f\u2028-\u202e\u2066-\u2069\ufeff]/g, ' ')
    .replace(/ {2,}/g, ' ')
    .trim();
  const letters = Array.from(inert);
  return letters.length > longest ? `${letters.slice(0, longest - 1).join('')}…` : inert;
}
