import { type Place, PullproofError } from '../../findings/index.js';
import { joined, type Rewindable } from './bytes.js';
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
export function readHead(source: Rewindable, stated: string | undefined, where: Place): Head {
  const { head, whole } = source.head(readLimits.headBytes);
  refuseContainers(head, whole, where);
  const encoding = settleEncoding(head, stated, where);
  const start = wholeLinesOf(source, (bytes) => compatible(bytes, encoding), where);
  refuseBinary(start.bytes, where);
  if (start.whole && start.bytes.every((byte) => byte <= 32)) {
    throw new PullproofError(
      'E_EMPTY',
      'the file is empty or holds only white space.',
      where,
      'Record again, or give the file that holds the rows.',
    );
  }
  return { text: textOf(start, encoding, where), encoding };
}

/** The same for a later table, whose encoding is known and whose bytes are ASCII-compatible already. */
export function readLaterHead(source: Rewindable, encoding: SettledEncoding, where: Place): Head {
  return {
    text: textOf(
      wholeLinesOf(source, (bytes) => bytes, where),
      encoding,
      where,
    ),
    encoding,
  };
}

interface StartBytes {
  readonly bytes: Uint8Array;
  readonly whole: boolean;
}

function wholeLinesOf(source: Rewindable, convert: (bytes: Uint8Array) => Uint8Array, where: Place): StartBytes {
  for (const count of [readLimits.headBytes, readLimits.lineBytes]) {
    const { head, whole } = source.head(count);
    const bytes = convert(head);
    const end = whole ? bytes.length : lastLineEnd(bytes);
    if (whole || end > 0 || bytes.every((byte) => byte === 0)) return { bytes: end > 0 ? bytes.subarray(0, end) : bytes, whole };
  }
  throw new PullproofError(
    'E_LINE_TOO_LONG',
    `the first line is longer than ${readLimits.lineBytes / 1024 / 1024} MiB.`,
    where,
    'This is no log of rows: check the file.',
  );
}

function textOf({ bytes, whole }: StartBytes, { encoding }: SettledEncoding, where: Place): string {
  const text = encoding === 'windows-1252' ? decodeWestern(bytes) : (decodeUtf8(bytes) ?? decodeWestern(bytes));
  refuseWidth(text, where);
  return whole && !/[\r\n]$/.test(text) ? `${text}\n` : text;
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

const delimiterMarks: readonly string[] = [',', ';', '\t', '|'];

/** Stops at a line with more columns than are read, before it is taken apart. */
function refuseWidth(text: string, where: Place): void {
  const lines = text.split(text.includes('\r') ? /\r\n|\n|\r/ : '\n');
  const wide = lines.findIndex(
    (line) =>
      line.length >= readLimits.columns &&
      delimiterMarks.some((mark) => line.split(mark, readLimits.columns + 1).length > readLimits.columns),
  );
  if (wide < 0) return;
  throw new PullproofError(
    'E_TOO_MANY_COLUMNS',
    `more than ${readLimits.columns} columns.`,
    { ...where, line: wide + 1 },
    'Export fewer channels.',
  );
}
