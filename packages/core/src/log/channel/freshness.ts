import { findHold, type Hold } from './held.js';
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
  const holds = parts.map(({ from, to }) => findHold(values, from, to, quantum));
  const found = holds.find((hold) => hold !== null);
  if (found !== undefined && found !== null) {
    const fresh = present(values);
    // A part too short to show the pattern was recorded by the same logger: there only changes count as new.
    for (const [i, { from, to }] of parts.entries()) keepRenewals(fresh, values, from, to, holds[i] ?? null);
    return { fresh, how: `held: renewed ${found.renewals === 1 ? 'once' : `${found.renewals} times`} in every ${found.cycleRows} rows` };
  }
  if (values.includes(Number.NaN)) return { fresh: present(values), how: 'every row that has a number' };
  return { fresh: all, how: 'every row' };
}

/**
 * Leaves one new reading for each run of rows in which a held channel may be renewed: the row where it changed, else the last one. A channel renewed by the
 * clock falls now on one row of such a run, now on its neighbour.
 */
function keepRenewals(fresh: Uint8Array, values: Float64Array, from: number, to: number, hold: Hold | null): void {
  let i = from;
  while (i < to) {
    if (hold === null || !hold.isRenewed(i - from)) {
      if (i > from && !changed(values, i)) fresh[i] = 0;
      i++;
      continue;
    }
    let end = i;
    let changes = 0;
    while (end < to && hold.isRenewed(end - from)) {
      if (end === from || changed(values, end)) changes++;
      end++;
    }
    for (let k = i; k < end; k++) {
      const kept = changes > 0 ? k === from || changed(values, k) : k === end - 1;
      if (!kept) fresh[k] = 0;
    }
    i = end;
  }
}

function changed(values: Float64Array, i: number): boolean {
  return values[i] !== values[i - 1];
}

function present(values: Float64Array): Uint8Array {
  const fresh = new Uint8Array(values.length);
  for (let i = 0; i < values.length; i++) if (!Number.isNaN(values[i]!)) fresh[i] = 1;
  return fresh;
}
