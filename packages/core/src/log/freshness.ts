import { findHold } from './held.js';
import { type Polling, polledRows } from './polling.js';

/** Which rows bring a new reading of a channel, and how that is known. */
export interface Freshness {
  readonly fresh: Uint8Array;
  readonly how: string;
}

type Part = { readonly from: number; readonly to: number };

/** Marks the rows with a new reading: by the polling order, by a pattern of holding, else every row that has a number. */
export function freshnessOf(
  values: Float64Array,
  column: number,
  parts: readonly Part[],
  polling: Polling | null,
  changes: Int16Array,
  quantum: number,
  all: Uint8Array,
): Freshness {
  if (polling !== null) {
    const places = polling.owners.filter((owner) => owner === column).length;
    const how =
      places === 0
        ? 'asked in turn, place unknown: only changes count as new'
        : `asked ${places === 1 ? 'once' : `${places} times`} in every ${polling.cycleRows} rows`;
    return { fresh: polledRows(polling, column, changes, values), how };
  }
  let fresh: Uint8Array | null = null;
  let how = '';
  for (const { from, to } of parts) {
    const hold = findHold(values, from, to, quantum);
    if (hold === null) continue;
    fresh ??= present(values);
    for (let i = from; i < to; i++) {
      const changed = i === from || values[i] !== values[i - 1];
      if (hold.renewed[(i - from) % hold.cycleRows] === 0 && !changed) fresh[i] = 0;
    }
    how = `held: renewed in ${hold.renewed.reduce((a, b) => a + b, 0)} of every ${hold.cycleRows} rows`;
  }
  if (fresh !== null) return { fresh, how };
  for (let i = 0; i < values.length; i++)
    if (Number.isNaN(values[i]!)) return { fresh: present(values), how: 'every row that has a number' };
  return { fresh: all, how: 'every row' };
}

function present(values: Float64Array): Uint8Array {
  const fresh = new Uint8Array(values.length);
  for (let i = 0; i < values.length; i++) if (!Number.isNaN(values[i]!)) fresh[i] = 1;
  return fresh;
}
