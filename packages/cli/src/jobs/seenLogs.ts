import { existsSync, readFileSync, statSync } from 'node:fs';
import path from 'node:path';
import { version } from '@pullproof/core';
import type { OutputOptions } from '../files/checkOutput.js';
import { writeOutput } from '../files/writeOutput.js';
import { channelsFile, channelsFolder, seenFolder } from '../parquet/layout.js';
import type { LogSummary } from './logSummary.js';
import { type Part, partName } from './part.js';

const schema = 'pullproof/seen@1';
/** So often at least it is written down which logs are done: what is lost when a run is killed. */
const logsBetweenNotes = 50;

interface Seen {
  readonly bytes: number;
  readonly modifiedMs: number;
  readonly summary: LogSummary;
}

/** Which logs an archive has of one part, and as what: a later run does only what is new or changed, and one that was killed goes on where it was. */
export class SeenLogs {
  readonly #file: string;
  readonly #folder: string;
  readonly #from: string;
  readonly #options: OutputOptions;
  readonly #reading: string;
  readonly #seen: Map<string, Seen>;
  #unwritten = 0;

  /** @param reading what is stated about the form of the logs: another statement reads them anew */
  constructor(folder: string, part: Part, reading: object, from: string, options: OutputOptions) {
    this.#folder = folder;
    this.#from = from;
    this.#options = options;
    this.#reading = JSON.stringify(reading);
    this.#file = path.join(folder, seenFolder, `${partName(part)}.json`);
    this.#seen = this.#read();
  }

  /** True where the archive has the log as it is now. */
  has(log: string): boolean {
    const seen = this.#seen.get(log);
    const now = stateOf(path.resolve(this.#from, log));
    if (seen === undefined || now === null || seen.bytes !== now.bytes || seen.modifiedMs !== now.modifiedMs) return false;
    const { sha256 } = seen.summary;
    return sha256 !== null && existsSync(path.resolve(this.#from, this.#folder, channelsFolder, channelsFile(log, sha256)));
  }

  /** Notes what became of a log. @throws E_WRITE */
  add(summary: LogSummary): void {
    const now = stateOf(path.resolve(this.#from, summary.log));
    this.#seen.set(summary.log, { ...(now ?? { bytes: -1, modifiedMs: -1 }), summary });
    this.#unwritten++;
    if (this.#unwritten >= logsBetweenNotes) this.write();
  }

  /** @throws E_WRITE */
  write(): void {
    this.#unwritten = 0;
    const logs = Object.fromEntries([...this.#seen].sort(([a], [b]) => (a < b ? -1 : 1)));
    writeOutput(this.#file, JSON.stringify({ schema, version, reading: this.#reading, logs }), this.#from, 'json', this.#options);
  }

  /** On the way out of a run that ends early: what cannot be noted is done again by the next. */
  writeIfPossible(): void {
    try {
      if (this.#unwritten > 0) this.write();
    } catch {
      this.#unwritten = 0;
    }
  }

  /** One row of each log that the archive has, in the order of their names. */
  get summaries(): readonly LogSummary[] {
    return [...this.#seen.values()].map(({ summary }) => summary).sort((a, b) => (a.log < b.log ? -1 : 1));
  }

  #read(): Map<string, Seen> {
    try {
      const kept = JSON.parse(readFileSync(path.resolve(this.#from, this.#file), 'utf8')) as {
        schema: string;
        version: string;
        reading: string;
        logs: { [log: string]: Seen };
      };
      const same = kept.schema === schema && kept.version === version && kept.reading === this.#reading;
      return new Map(same ? Object.entries(kept.logs) : []);
    } catch {
      // None yet, or one that cannot be read: then everything is done anew.
      return new Map();
    }
  }
}

function stateOf(file: string): { readonly bytes: number; readonly modifiedMs: number } | null {
  const stats = statSync(file, { throwIfNoEntry: false });
  return stats === undefined ? null : { bytes: stats.size, modifiedMs: stats.mtimeMs };
}
