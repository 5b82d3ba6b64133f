import { type Log, onceForEach, readLog } from '../log/index.js';
import { type FoundStretches, findStretches } from '../stretches/index.js';
import { defaults, type RunInputs } from '../trial/index.js';
import { withoutNarrowband } from './narrowband.js';
import { withTruePressure } from './truePressure.js';

/** Bytes of a log as the caller opened it; `sha256` is asked for after they were read, and may be left out where nobody worked it out. */
export interface OpenedLog {
  readonly chunks: Uint8Array | Iterable<Uint8Array>;
  readonly sha256?: () => string;
  /** Length, where it is known beforehand: memory is then set aside once. */
  readonly sizeBytes?: number;
}

/**
 * Logs as read, for a caller who asks again with other inputs: handed to `runTrial` a second time, no log is read twice. Starts empty; a log
 * that must be read in another way (other channel meanings) is opened again.
 */
export type ReadLogs = Map<string, { readonly log: Log; readonly sha256: string | null }>;

/** A log as read and searched; `sha256` is null where the caller gave none. */
export interface ReadRun {
  readonly log: Log;
  readonly sha256: string | null;
  readonly found: FoundStretches;
}

type ReadInputs = Pick<RunInputs, 'log' | 'channels' | 'gaugeStoich' | 'reading'>;

/** What reading depends on: the same log read with other channel meanings is another reading. */
function readingKey(inputs: ReadInputs): string {
  return JSON.stringify([inputs.log, [...inputs.channels], inputs.gaugeStoich.value, inputs.reading]);
}

/** What a log as used depends on besides: its pressure is rescaled by the law of the sensor that was fitted. */
export function usedKey(inputs: RunInputs): string {
  return JSON.stringify([readingKey(inputs), inputs.mapSensor]);
}

const stretchesOf = onceForEach(findStretches);

/** Reads the log of a run, once for all runs that read it alike; null where there is none to open. */
export function openRun(
  inputs: RunInputs,
  openLog: (path: string) => OpenedLog | null,
  opened: Map<string, ReadRun>,
  read: ReadLogs,
): ReadRun | null {
  const key = usedKey(inputs);
  const known = opened.get(key);
  if (known !== undefined) return known;
  const asRead = logOf(inputs, openLog, read);
  if (asRead === null) return null;
  const log = withoutNarrowband(withTruePressure(asRead.log, inputs));
  const entry = { log, sha256: asRead.sha256, found: stretchesOf(log) };
  opened.set(key, entry);
  return entry;
}

function logOf(
  inputs: ReadInputs,
  openLog: (path: string) => OpenedLog | null,
  read: ReadLogs,
): { readonly log: Log; readonly sha256: string | null } | null {
  const key = readingKey(inputs);
  let entry = read.get(key);
  if (entry === undefined) {
    const opened = openLog(inputs.log);
    if (opened === null) return null;
    const { chunks, sha256, sizeBytes } = opened;
    const gaugeStoich = inputs.gaugeStoich.value;
    const log = readLog(chunks, { ...inputs.reading, path: inputs.log, channels: inputs.channels, gaugeStoich, sizeBytes });
    entry = { log, sha256: sha256?.() ?? null };
    read.set(key, entry);
  }
  return entry;
}

/**
 * Reads a log of which nothing is stated, for somebody who looks at it before there is a trial; a trial that states nothing of it either
 * finds it among `read`.
 */
export function readUnstated(path: string, opened: OpenedLog, read: ReadLogs): { readonly log: Log; readonly sha256: string | null } {
  const gaugeStoich = { ...defaults.gaugeStoich, standing: 'assumed' } as const;
  return logOf({ log: path, channels: new Map(), gaugeStoich, reading: {} }, () => opened, read)!;
}
