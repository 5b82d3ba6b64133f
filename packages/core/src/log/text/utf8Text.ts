import { PullproofError } from '../../findings/index.js';
import { joined, type LogSource } from './bytes.js';
import { decodeUtf8 } from './encoding.js';

/**
 * All of a file that people write, such as a trial or its slips, as text.
 *
 * @param source its bytes, all at once or in chunks
 * @param path for messages
 * @returns the text, without a byte-order mark
 * @throws E_ENCODING for bytes that are not UTF-8
 *
 * @example
 * ```ts
 * import { utf8Text } from '@pullproof/core';
 * utf8Text(Uint8Array.of(0xef, 0xbb, 0xbf, 0x32, 0x32, 0x20, 0xc2, 0xb0, 0x43), 'trial.yaml'); // => '22 °C'
 * utf8Text(Uint8Array.of(0x32, 0x32, 0x20, 0xb0, 0x43), 'trial.yaml'); // => throws E_ENCODING
 * ```
 */
export function utf8Text(source: LogSource, path: string): string {
  const parts = source instanceof Uint8Array ? [source] : [...source];
  const bytes = joined(
    parts,
    parts.reduce((sum, part) => sum + part.length, 0),
  );
  const text = decodeUtf8(bytes);
  if (text === null) throw new PullproofError('E_ENCODING', 'The file is not UTF-8 text.', { path }, 'Save it as UTF-8.');
  return text.replace(/^\uFEFF/, '');
}
