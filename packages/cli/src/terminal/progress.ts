import type { Io } from '../io.js';
import { inertText } from './inertText.js';

/** A line on a terminal that says what is being done, once the work has lasted a second. Silent in a pipe. */
export class Progress {
  readonly #io: Io;
  readonly #startMs: number;
  #shownMs = Number.NEGATIVE_INFINITY;
  #shown = false;

  constructor(io: Io) {
    this.#io = io;
    this.#startMs = io.now();
  }

  /** Says what is being done; shown at most ten times a second. */
  tell(what: string): void {
    const nowMs = this.#io.now();
    if (!this.#io.stderr.isTTY || nowMs - this.#startMs < 1000 || nowMs - this.#shownMs < 100) return;
    this.#shownMs = nowMs;
    this.#shown = true;
    this.#io.stderr.write(`\r\u001b[K${inertText(what, Math.max(20, this.#io.stderr.columns - 1))}`);
  }

  /** Says how much of a file was read, and once it is whole that it is worked on: that line stands until the next one. */
  readonly reading = (shownPath: string, readBytes: number, totalBytes: number | null): void => {
    const share =
      totalBytes === null || totalBytes === 0
        ? `${Math.round(readBytes / 1e6)} MB`
        : `${Math.min(100, Math.floor((100 * readBytes) / totalBytes))} %`;
    this.tell(readBytes === totalBytes ? `read ${shownPath}, working out what is in it` : `reading ${shownPath}: ${share}`);
  };

  /** Takes the line away before anything else is written. */
  clear(): void {
    if (this.#shown) this.#io.stderr.write('\r\u001b[K');
    this.#shown = false;
  }
}
