import { PullproofError } from '../../findings/index.js';

const delimiterWords: Readonly<Record<string, string>> = {
  comma: ',',
  semicolon: ';',
  tab: '\t',
  pipe: '|',
  space: 'spaces',
  spaces: 'spaces',
  'wide spaces': 'wide spaces',
};

/**
 * The delimiter that a user names: by word (`comma`, `semicolon`, `tab`, `pipe`, `spaces`) or as the one character itself.
 *
 * @param text as written on the command line or in a trial file
 * @returns what `readLog` takes
 * @throws E_STATED for anything else
 *
 * @example
 * ```ts
 * import { delimiterFromText } from '@pullproof/core';
 * delimiterFromText('semicolon'); // => ';'
 * ```
 */
export function delimiterFromText(text: string): string {
  const word = delimiterWords[text.trim().toLowerCase()];
  if (word !== undefined) return word;
  if (text === '\\t') return '\t';
  const character = text === '\t' ? text : text.trim();
  if (Array.from(character).length === 1 && !/[\p{L}\p{N}"\n\r]/u.test(character)) return character;
  throw new PullproofError(
    'E_STATED',
    `"${text}" is not a delimiter.`,
    {},
    'Say comma, semicolon, tab, pipe or spaces, or give the one character.',
  );
}

/**
 * The decimal mark that a user names: `point` or `comma`, or the mark itself.
 *
 * @throws E_STATED for anything else
 *
 * @example
 * ```ts
 * import { decimalFromText } from '@pullproof/core';
 * decimalFromText('comma'); // => ','
 * ```
 */
export function decimalFromText(text: string): '.' | ',' {
  const word = text.trim().toLowerCase();
  if (word === '.' || word === 'point' || word === 'dot') return '.';
  if (word === ',' || word === 'comma') return ',';
  throw new PullproofError('E_STATED', `"${text}" is not a decimal mark.`, {}, 'Say point or comma.');
}
