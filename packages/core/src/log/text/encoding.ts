import { type Finding, type Place, PullproofError } from '../../findings/index.js';

/** The two classes that every JavaScript host has, without the types of any one host. */
declare class TextDecoder {
  constructor(label?: string, options?: { fatal?: boolean; ignoreBOM?: boolean });
  decode(bytes?: Uint8Array, options?: { stream?: boolean }): string;
}
declare class TextEncoder {
  encode(text: string): Uint8Array;
}

export type Encoding = 'utf-8' | 'windows-1252' | 'utf-16le' | 'utf-16be';

export interface SettledEncoding {
  readonly encoding: Encoding;
  readonly evidence: string;
  /** Bytes of a mark to leave out at the start. */
  readonly mark: number;
  readonly finding: Finding | null;
}

/** Settles the encoding from the first bytes: the mark, the pattern of NULs, whether UTF-8 decoding succeeds. A stated one is taken as it is. */
export function settleEncoding(head: Uint8Array, stated: string | undefined, where: Place): SettledEncoding {
  const marked = byMark(head);
  if (stated !== undefined) {
    const encoding = encodingNamed(stated, where);
    return { encoding, evidence: 'stated', mark: marked?.encoding === encoding ? marked.mark : 0, finding: null };
  }
  if (marked !== null) {
    const finding =
      marked.encoding === 'utf-8'
        ? null
        : encodingFinding(`the file is ${marked.encoding.toUpperCase()}, by its byte-order mark; it was decoded.`, where);
    return { ...marked, evidence: 'byte-order mark', finding };
  }
  const wide = byNulPattern(head);
  if (wide !== null) {
    const finding = encodingFinding(
      `the file has no byte-order mark; every second byte is NUL, so it was decoded as ${wide.toUpperCase()}.`,
      where,
    );
    return { encoding: wide, evidence: 'every second byte is NUL', mark: 0, finding };
  }
  if (decodeUtf8(wholeCharacters(head)) !== null) return { encoding: 'utf-8', evidence: 'decodes as UTF-8', mark: 0, finding: null };
  return { encoding: 'windows-1252', evidence: 'is not UTF-8', mark: 0, finding: encodingFinding(notUtf8, where) };
}

export const notUtf8 = 'the bytes are not UTF-8; they were decoded as windows-1252 (Western European), which is what ° and µ need here.';

export function encodingFinding(message: string, where: Place): Finding {
  return { code: 'W_ENCODING', severity: 'warning', message, where, fix: 'If names or units look wrong, state the encoding.' };
}

/** Bytes as UTF-8 text, or null where they are none. */
export function decodeUtf8(bytes: Uint8Array): string | null {
  try {
    return new TextDecoder('utf-8', { fatal: true, ignoreBOM: true }).decode(bytes);
  } catch {
    return null;
  }
}

const western = new TextDecoder('windows-1252', { ignoreBOM: true });

export function decodeWestern(bytes: Uint8Array): string {
  return western.decode(bytes);
}

/** Chunks of UTF-16 turned into UTF-8, characters split across chunks kept whole; other encodings pass, less their mark. */
export function* asciiCompatible(chunks: Iterable<Uint8Array>, { encoding, mark }: SettledEncoding): Generator<Uint8Array> {
  const wide = encoding === 'utf-16le' || encoding === 'utf-16be' ? new TextDecoder(encoding, { ignoreBOM: true }) : null;
  const encoder = new TextEncoder();
  let skip = mark;
  for (const chunk of chunks) {
    const bytes = skip > 0 ? chunk.subarray(skip) : chunk;
    skip = Math.max(0, skip - chunk.length);
    if (wide === null) yield bytes;
    else yield encoder.encode(wide.decode(bytes, { stream: true }));
  }
  const rest = wide?.decode() ?? '';
  if (rest !== '') yield encoder.encode(rest);
}

function byMark(head: Uint8Array): { readonly encoding: Encoding; readonly mark: number } | null {
  if (head[0] === 0xef && head[1] === 0xbb && head[2] === 0xbf) return { encoding: 'utf-8', mark: 3 };
  if (head[0] === 0xff && head[1] === 0xfe) return { encoding: 'utf-16le', mark: 2 };
  if (head[0] === 0xfe && head[1] === 0xff) return { encoding: 'utf-16be', mark: 2 };
  return null;
}

function byNulPattern(head: Uint8Array): Encoding | null {
  const length = Math.min(head.length, 4096);
  const nul = [0, 0];
  for (let i = 0; i < length; i++) if (head[i] === 0) nul[i & 1]!++;
  const half = length / 2;
  if (half < 2) return null;
  if (nul[1]! > 0.7 * half && nul[0]! < 0.05 * half) return 'utf-16le';
  if (nul[0]! > 0.7 * half && nul[1]! < 0.05 * half) return 'utf-16be';
  return null;
}

/** The bytes without a character that is cut off at their end. */
function wholeCharacters(bytes: Uint8Array): Uint8Array {
  let end = bytes.length;
  while (end > 0 && end > bytes.length - 4 && (bytes[end - 1]! & 0xc0) === 0x80) end--;
  return end > 0 && bytes[end - 1]! >= 0xc0 ? bytes.subarray(0, end - 1) : bytes;
}

function encodingNamed(text: string, where: Place): Encoding {
  const key = text.toLowerCase().replace(/[\s_]/g, '-');
  const known: Readonly<Record<string, Encoding>> = {
    'utf-8': 'utf-8',
    utf8: 'utf-8',
    ascii: 'utf-8',
    'windows-1252': 'windows-1252',
    cp1252: 'windows-1252',
    'latin-1': 'windows-1252',
    latin1: 'windows-1252',
    'iso-8859-1': 'windows-1252',
    'utf-16le': 'utf-16le',
    'utf-16': 'utf-16le',
    'utf-16be': 'utf-16be',
  };
  const found = Object.hasOwn(known, key) ? known[key] : undefined;
  if (found === undefined) {
    throw new PullproofError(
      'E_ENCODING',
      `"${text}" is not an encoding that is read here.`,
      where,
      'State utf-8, windows-1252, utf-16le or utf-16be.',
    );
  }
  return found;
}
