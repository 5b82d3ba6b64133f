/**
 * Text as one field of a comma-separated file that a spreadsheet cannot run.
 *
 * Quoted where it holds a comma, a quote or a line end (RFC 4180); led by an apostrophe where it begins with white space or with what starts a formula.
 *
 * @param text any text, that of a stranger's log included
 * @returns the field
 *
 * @example
 * ```ts
 * import { csvText } from '@pullproof/core';
 * csvText('=1+1'); // => "'=1+1"
 * ```
 */
export function csvText(text: string): string {
  const inert = /^[\s=+\-@]/.test(text) ? `'${text}` : text;
  return /[",\r\n]/.test(inert) ? `"${inert.replaceAll('"', '""')}"` : inert;
}
