import { closeSync, fsyncSync, mkdirSync, openSync, renameSync, rmSync, writeSync } from 'node:fs';
import path from 'node:path';
import { checkOutput, notWritable, type OutputKind, type OutputOptions } from './checkOutput.js';
import { runTag, sweep } from './temporaryName.js';

/** A file that is written piece by piece into a temporary one beside it, and takes its name only when it is whole. Folders on the way are made. */
export class OutputFile {
  readonly #shownPath: string;
  readonly #file: string;
  readonly #temporary: string;
  #descriptor: number | null = null;
  #begun = false;

  /**
   * @param tag part of the temporary file's name, by which it can be found and taken away; one of its own when left out
   * @throws E_OUTPUT_PATH and E_WRITE as checkOutput; E_WRITE when the disk refuses
   */
  constructor(shownPath: string, from: string, kind: OutputKind, options: OutputOptions, tag: string = runTag()) {
    this.#shownPath = shownPath;
    this.#file = checkOutput(shownPath, from, kind, options);
    this.#temporary = path.join(path.dirname(this.#file), `.${path.basename(this.#file)}.${tag}.tmp`);
    this.#descriptor = this.#attempt(() => {
      mkdirSync(path.dirname(this.#file), { recursive: true });
      sweep(path.dirname(this.#file));
      return openSync(this.#temporary, 'wx', 0o666);
    });
    this.#begun = true;
  }

  /** Adds text or bytes. @throws E_WRITE */
  write(piece: string | Uint8Array): void {
    const bytes = typeof piece === 'string' ? Buffer.from(piece, 'utf8') : piece;
    this.#attempt(() => {
      for (let done = 0; done < bytes.length; ) done += writeSync(this.#open(), bytes, done);
    });
  }

  /** The file is whole: it takes its name. @throws E_WRITE */
  finish(): void {
    this.#attempt(() => {
      fsyncSync(this.#open());
      this.#close();
      renameSync(this.#temporary, this.#file);
    });
  }

  /** Takes away what was written. */
  drop(): void {
    this.#close();
    rmSync(this.#temporary, { force: true });
  }

  #open(): number {
    if (this.#descriptor === null) throw new Error(`${this.#shownPath} is closed`);
    return this.#descriptor;
  }

  #close(): void {
    if (this.#descriptor === null) return;
    const descriptor = this.#descriptor;
    this.#descriptor = null;
    closeSync(descriptor);
  }

  #attempt<T>(act: () => T): T {
    try {
      return act();
    } catch (cause) {
      // Where nothing was begun there is nothing to take away, and a folder that cannot be written cannot be tidied either.
      if (this.#begun) this.drop();
      throw notWritable(cause, this.#shownPath);
    }
  }
}
