import { readLimits } from './limits.js';

/**
 * A log as it comes: all bytes at once, or chunks. Chunks that can be walked again are; those that can be walked only once (a generator) are walked once, and
 * kept in memory only where the start of the file leaves a question open. A chunk's buffer may be used again for the next chunk.
 */
export type LogSource = Uint8Array | Iterable<Uint8Array>;

/** The chunks of a log, walked from the first byte as often as needed. */
export interface Rewindable {
  /** First bytes, at most `count`, and whether that is all there is. */
  readonly head: (count: number) => { readonly head: Uint8Array; readonly whole: boolean };
  /** Makes sure that the bytes can be walked more than once from here on. */
  readonly keep: () => void;
  /** All bytes from the first one, no chunk longer than a block. */
  readonly chunks: () => Iterable<Uint8Array>;
}

export function rewindable(source: LogSource): Rewindable {
  if (source instanceof Uint8Array) return fromIterable([source]);
  const iterator = source[Symbol.iterator]();
  return (iterator as unknown) === source ? fromIterator(iterator) : fromIterable(source);
}

function fromIterable(source: Iterable<Uint8Array>): Rewindable {
  return {
    head: (count) => {
      const start = new Start();
      for (const chunk of source) {
        start.add(chunk);
        if (start.length > count) break;
      }
      return start.upTo(count);
    },
    keep: () => {},
    chunks: () => windows(source),
  };
}

/** A source that can be walked once: what was looked at is kept, the rest passes through. */
function fromIterator(iterator: Iterator<Uint8Array>): Rewindable {
  const start = new Start();
  let done = false;
  let passed = false;
  const pull = (): Uint8Array | null => {
    const next = done ? null : iterator.next();
    if (next === null || next.done === true) {
      done = true;
      return null;
    }
    return next.value;
  };
  const pullUntil = (length: number) => {
    while (start.length <= length) {
      const chunk = pull();
      if (chunk === null) return;
      start.add(chunk);
    }
  };
  return {
    head: (count) => {
      pullUntil(count);
      return start.upTo(count);
    },
    keep: () => pullUntil(Number.POSITIVE_INFINITY),
    chunks: function* () {
      if (passed) throw new Error('a source that can be walked once was asked for again');
      yield* windows(start.parts);
      if (done) return;
      passed = true;
      for (let chunk = pull(); chunk !== null; chunk = pull()) yield* windows([chunk]);
    },
  };
}

/** Copies of the first chunks. */
class Start {
  readonly parts: Uint8Array[] = [];
  length = 0;

  add(chunk: Uint8Array): void {
    this.parts.push(chunk.slice());
    this.length += chunk.length;
  }

  upTo(count: number): { readonly head: Uint8Array; readonly whole: boolean } {
    return { head: joined(this.parts, this.length).subarray(0, count), whole: this.length <= count };
  }
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
