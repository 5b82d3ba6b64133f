import { readLimits } from './limits.js';

/**
 * A log as it comes: all bytes at once, or chunks. Chunks are walked more than once: the first time to see what they are. A chunk's buffer may be used again
 * for the next chunk.
 */
export type LogSource = Uint8Array | Iterable<Uint8Array>;

/** The chunks of a source, none longer than a block; each call starts from the first byte. A source that can be walked only once is kept in memory. */
export function rewindable(source: LogSource): () => Iterable<Uint8Array> {
  if (source instanceof Uint8Array) return () => windows([source]);
  const once = source[Symbol.iterator]() === (source as unknown);
  const chunks = once ? Array.from(source, (chunk) => chunk.slice()) : source;
  return () => windows(chunks);
}

/** First bytes of a source, at most `count`, and whether that is all there is. */
export function headOf(chunks: Iterable<Uint8Array>, count: number): { readonly head: Uint8Array; readonly whole: boolean } {
  const parts: Uint8Array[] = [];
  let length = 0;
  let whole = true;
  for (const chunk of chunks) {
    parts.push(chunk.slice());
    length += chunk.length;
    if (length > count) {
      whole = false;
      break;
    }
  }
  return { head: joined(parts, length).subarray(0, count), whole };
}

export function joined(parts: readonly Uint8Array[], length: number): Uint8Array {
  if (parts.length === 1) return parts[0]!;
  const all = new Uint8Array(length);
  let at = 0;
  for (const part of parts) {
    all.set(part, at);
    at += part.length;
  }
  return all;
}

function* windows(chunks: Iterable<Uint8Array>): Generator<Uint8Array> {
  for (const chunk of chunks) {
    for (let at = 0; at < chunk.length; at += readLimits.blockBytes) yield chunk.subarray(at, at + readLimits.blockBytes);
  }
}
