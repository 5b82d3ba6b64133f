const escapes: Readonly<Record<string, string>> = {
  '<': '\\u003c',
  '>': '\\u003e',
  '&': '\\u0026',
  '\u2028': '\\u2028',
  '\u2029': '\\u2029',
};

/**
 * JSON that may stand inside a script element: nothing in it can end the element or begin another.
 * @param value plain data
 * @returns JSON text that parses to the same data
 */
export function jsonForScript(value: unknown): string {
  return JSON.stringify(value).replace(/[<>&\u2028\u2029]/g, (letter) => escapes[letter]!);
}
