import type { Channel, Log } from '../log.js';
import { onceForEach } from '../text/onceForEach.js';
import type { Quantity } from '../words/quantities.js';

/** Fresh readings of a channel, held and missing ones left out. */
export interface FreshSamples {
  readonly timeS: Float64Array;
  readonly values: Float64Array;
  /** Index of each into the log's rows. */
  readonly rows: Uint32Array;
}

const rowNumbers = onceForEach((log: Log) => {
  const rows = new Uint32Array(log.rows);
  for (let i = 0; i < rows.length; i++) rows[i] = i;
  return rows;
});

/**
 * The readings of a channel that are new, between two row indexes.
 *
 * @param from first index into the log's rows; 0 when left out
 * @param to index behind the last; the number of rows when left out
 * @returns times (s), values (SI) and row indexes; empty where nothing is fresh
 *
 * @example
 * ```ts
 * import { findChannel, freshSamples, readLog } from '@pullproof/core';
 * const text = 'Time (s),Engine speed (rpm)\n0.00,2000\n0.04,\n0.08,2021\n';
 * const log = readLog(Uint8Array.from(text, (c) => c.charCodeAt(0)), { path: 'pull.csv' });
 * const speed = findChannel(log, 'engine-speed');
 * speed && freshSamples(log, speed).values.length; // => 2
 * ```
 */
export function freshSamples(log: Log, channel: Channel, from = 0, to: number = log.rows): FreshSamples {
  const { fresh, values: all } = channel;
  const some = all.subarray(from, to);
  // Most channels are new in every row: then it is a matter of copying.
  if (!fresh.subarray(from, to).includes(0) && !some.includes(Number.NaN)) {
    return { rows: rowNumbers(log).slice(from, to), timeS: log.timeS.slice(from, to), values: some.slice() };
  }
  let count = 0;
  for (let i = from; i < to; i++) if (fresh[i] === 1 && !Number.isNaN(all[i]!)) count++;
  const rows = new Uint32Array(count);
  const timeS = new Float64Array(count);
  const values = new Float64Array(count);
  let at = 0;
  for (let i = from; i < to; i++) {
    if (fresh[i] !== 1 || Number.isNaN(all[i]!)) continue;
    rows[at] = i;
    timeS[at] = log.timeS[i]!;
    values[at] = all[i]!;
    at++;
  }
  return { rows, timeS, values };
}

/** All channels of a quantity, those that were stated or recognised for sure before guessed ones, else in the file's order. */
export function channelsOf(log: Log, quantity: Quantity): readonly Channel[] {
  const rank = { stated: 0, recognised: 1, guessed: 2, unknown: 3 } as const;
  return log.channels
    .filter((channel) => channel.quantity === quantity)
    .sort((a, b) => rank[a.standing] - rank[b.standing] || a.column - b.column);
}

/**
 * The channel to use for a quantity: the stated one, else the one with the most readings, else the first.
 *
 * @param options bank wanted, and what zero means for a pressure
 * @returns the channel, or null when the log has none
 */
export function findChannel(
  log: Log,
  quantity: Quantity,
  options: { readonly bank?: number; readonly reference?: 'absolute' | 'gauge' } = {},
): Channel | null {
  const fitting = channelsOf(log, quantity).filter(
    (channel) =>
      (options.bank === undefined || channel.bank === options.bank) &&
      (options.reference === undefined || channel.reference === options.reference) &&
      channel.missing < log.rows,
  );
  const [first] = fitting;
  if (first === undefined) return null;
  if (first.standing === 'stated') return first;
  return fitting.reduce((best, channel) => (channel.missing < 0.5 * best.missing ? channel : best));
}
