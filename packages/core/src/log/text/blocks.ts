import { type Place, PullproofError } from '../../findings/index.js';
import { joined } from './bytes.js';
import { readLimits } from './limits.js';

/** Bytes that end with a whole line. The very last one may be a line without an end, which then gets one. */
export interface Block {
  readonly bytes: Uint8Array;
  /** True when the source ended without a line end: the last line of this block may be torn. */
  readonly unterminated: boolean;
}

const LF = 10;
const CR = 13;

/**
 * Cuts chunks at line ends: `\n`, `\r\n` and a lone `\r` all count. A `\r` at the end of a chunk waits for the next one.
 * A block is good until the next one is asked for: the source may use its buffer again.
 *
 * @throws E_LINE_TOO_LONG when a line passes the limit, before more of it is read
 */
export function* wholeLines(chunks: Iterable<Uint8Array>, where: Place): Generator<Block> {
  let pending: Uint8Array[] = [];
  let length = 0;
  for (const chunk of chunks) {
    const cut = lastLineEnd(chunk);
    if (cut === 0) {
      // A power cut leaves NULs without end: they make the line no longer.
      if (pending.at(-1)?.at(-1) === 0 && onlyNul(chunk)) continue;
      pending.push(chunk.slice());
      length += chunk.length;
    } else {
      const start = length === 0 ? 0 : firstLineEnd(chunk);
      if (start > 0) {
        pending.push(chunk.subarray(0, start));
        yield { bytes: joined(pending, length + start), unterminated: false };
      }
      if (start < cut) yield { bytes: chunk.subarray(start, cut), unterminated: false };
      pending = cut < chunk.length ? [chunk.slice(cut)] : [];
      length = chunk.length - cut;
    }
    if (length > readLimits.lineBytes) tooLong(where);
  }
  if (length === 0) return;
  const last = joined(pending, length);
  const ended = last[last.length - 1] === CR;
  yield { bytes: ended ? last : joined([last, Uint8Array.of(LF)], length + 1), unterminated: !ended };
}

/** Where the bytes after the last line end begin; 0 without one. A final `\r` does not count yet: `\n` may follow. */
function lastLineEnd(chunk: Uint8Array): number {
  const lf = chunk.lastIndexOf(LF) + 1;
  let at = chunk.length - (chunk[chunk.length - 1] === CR ? 2 : 1);
  while (at >= lf && chunk[at] !== CR) at--;
  return at >= lf ? at + 1 : lf;
}

/** Where the line after the first line end begins. */
function firstLineEnd(chunk: Uint8Array): number {
  let at = 0;
  while (chunk[at] !== LF && chunk[at] !== CR) at++;
  return chunk[at] === CR && chunk[at + 1] === LF ? at + 2 : at + 1;
}

function onlyNul(bytes: Uint8Array): boolean {
  return bytes.length > 0 && bytes[0] === 0 && bytes[bytes.length - 1] === 0 && bytes.every((byte) => byte === 0);
}

/** The bytes below the first lines. */
export function* afterLines(chunks: Iterable<Uint8Array>, lines: number): Generator<Uint8Array> {
  let left = lines;
  let afterCr = false;
  for (const chunk of chunks) {
    let at = 0;
    while (left > 0 && at < chunk.length) {
      const byte = chunk[at++]!;
      if (byte === LF && !afterCr) left--;
      if (byte === CR) left--;
      afterCr = byte === CR;
    }
    // The line feed of the last line's end may still follow its carriage return.
    if (left === 0 && afterCr && at < chunk.length) {
      if (chunk[at] === LF) at++;
      afterCr = false;
    }
    if (at < chunk.length) yield at === 0 ? chunk : chunk.subarray(at);
  }
}

function tooLong(where: Place): never {
  throw new PullproofError(
    'E_LINE_TOO_LONG',
    `a line is longer than ${readLimits.lineBytes / 1024 / 1024} MiB.`,
    where,
    'This is no log of rows, or a quote was never closed: look at the start of the file.',
  );
}
