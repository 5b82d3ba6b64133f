import { type Place, PullproofError } from '../findings/index.js';
import { headOf, joined } from './bytes.js';
import { refuseBinary, refuseContainers } from './container.js';
import { asciiCompatible, decodeUtf8, decodeWestern, type SettledEncoding, settleEncoding } from './encoding.js';
import { readLimits } from './limits.js';

/** The start of a log as text, with what its bytes are. */
export interface Head {
  /** Whole lines, each with its end. */
  readonly text: string;
  readonly encoding: SettledEncoding;
}

/** Reads the start of a log: refuses what is no text, settles the encoding, stops at limits before anything is allocated for rows. */
export function readHead(chunks: () => Iterable<Uint8Array>, stated: string | undefined, where: Place): Head {
  let { head, whole } = headOf(chunks(), readLimits.headBytes);
  refuseContainers(head, whole, where);
  const encoding = settleEncoding(head, stated, where);
  let bytes = compatible(head, encoding);
  if (!whole && lastLineEnd(bytes) === 0) {
    ({ head, whole } = headOf(chunks(), readLimits.lineBytes));
    bytes = compatible(head, encoding);
    if (!whole && lastLineEnd(bytes) === 0 && !bytes.every((byte) => byte === 0)) {
      throw new PullproofError(
        'E_LINE_TOO_LONG',
        `the first line is longer than ${readLimits.lineBytes / 1024 / 1024} MiB.`,
        where,
        'This is no log of rows: check the file.',
      );
    }
  }
  refuseBinary(bytes, where);
  if (whole && bytes.every((byte) => byte <= 32)) {
    throw new PullproofError(
      'E_EMPTY',
      'the file is empty or holds only white space.',
      where,
      'Record again, or give the file that holds the rows.',
    );
  }
  const lines = whole ? bytes : bytes.subarray(0, lastLineEnd(bytes));
  const text = encoding.encoding === 'windows-1252' ? decodeWestern(lines) : (decodeUtf8(lines) ?? decodeWestern(lines));
  refuseWidth(text, where);
  return { text: whole && !/[\r\n]$/.test(text) ? `${text}\n` : text, encoding };
}

function compatible(head: Uint8Array, encoding: SettledEncoding): Uint8Array {
  const parts = [...asciiCompatible([head], encoding)];
  return parts.length === 0
    ? new Uint8Array(0)
    : joined(
        parts,
        parts.reduce((sum, part) => sum + part.length, 0),
      );
}

function lastLineEnd(bytes: Uint8Array): number {
  return Math.max(bytes.lastIndexOf(10), bytes.lastIndexOf(13)) + 1;
}

const delimiterCodes: readonly number[] = [44, 59, 9, 124];

/** Stops at a line with more columns than are read, before it is taken apart. */
function refuseWidth(text: string, where: Place): void {
  let line = 1;
  let counts = [0, 0, 0, 0];
  let start = 0;
  for (let i = 0; i <= text.length; i++) {
    const code = text.charCodeAt(i);
    if (code !== 10 && code !== 13 && i < text.length) continue;
    if (i - start >= readLimits.columns) {
      for (let k = start; k < i; k++) {
        const which = delimiterCodes.indexOf(text.charCodeAt(k));
        if (which >= 0) counts[which]!++;
      }
      if (Math.max(...counts) >= readLimits.columns) {
        throw new PullproofError(
          'E_TOO_MANY_COLUMNS',
          `more than ${readLimits.columns} columns.`,
          { ...where, line },
          'Export fewer channels.',
        );
      }
      counts = [0, 0, 0, 0];
    }
    start = i + 1;
    if (code === 10 || text.charCodeAt(i + 1) !== 10) line++;
  }
}
