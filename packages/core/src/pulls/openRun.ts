import { type Log, readLog } from '../log/index.js';
import { type FoundStretches, findStretches } from '../stretches/index.js';
import type { RunInputs } from '../trial/index.js';
import { withTruePressure } from './truePressure.js';

/** Bytes of a log as the caller opened it; `sha256` is asked for after they were read. */
export interface OpenedLog {
  readonly chunks: Uint8Array | Iterable<Uint8Array>;
  readonly sha256: () => string;
  /** Length, where it is known beforehand: memory is then set aside once. */
  readonly sizeBytes?: number;
}

/** A log as read and searched. */
export interface ReadRun {
  readonly log: Log;
  readonly sha256: string;
  readonly found: FoundStretches;
}

/** What reading depends on: the same log read with other channel meanings is another reading. */
export function readingKey(inputs: RunInputs): string {
  return JSON.stringify([inputs.log, [...inputs.channels], inputs.gaugeStoich.value, inputs.reading, inputs.mapSensor]);
}

/** Reads the log of a run, once for all runs that read it alike. */
export function openRun(inputs: RunInputs, openLog: (path: string) => OpenedLog, opened: Map<string, ReadRun>): ReadRun {
  const key = readingKey(inputs);
  let entry = opened.get(key);
  if (entry === undefined) {
    const { chunks, sha256, sizeBytes } = openLog(inputs.log);
    const gaugeStoich = inputs.gaugeStoich.value;
    const asRead = readLog(chunks, { ...inputs.reading, path: inputs.log, channels: inputs.channels, gaugeStoich, sizeBytes });
    const log = withTruePressure(asRead, inputs);
    entry = { log, sha256: sha256(), found: findStretches(log) };
    opened.set(key, entry);
  }
  return entry;
}
