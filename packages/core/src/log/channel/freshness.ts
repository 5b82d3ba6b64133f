import type { Spread } from '../log.js';
import { findHold, type Hold } from './held.js';
import { findIrregularHold, type IrregularHold } from './irregularHold.js';
import { ownPeriod, rowsByClock } from './ownClock.js';
import { type Polling, polledRows } from './polling.js';
import { refreshSpread } from './refresh.js';

/** Which rows bring a new reading of a channel, and how that is known. */
export interface Freshness {
  readonly fresh: Uint8Array;
  readonly how: string;
  /** Period of the channel's clock, s, where that told it. */
  readonly periodS?: number;
}

type Part = { readonly from: number; readonly to: number };

/** What the channels of a log share when their new readings are looked for. */
export interface FreshnessSetting {
  readonly timeS: Float64Array;
  readonly parts: readonly Part[];
  readonly polling: Polling | null;
  readonly changes: Int16Array;
  /** How the log as a whole is held, where its rows come faster than its readings. */
  readonly rowHold: IrregularHold | null;
  /** Ones, for channels that are new in every row. */
  readonly all: Uint8Array;
  readonly everyRow: Spread | null;
}

/** Periods whose logarithms differ less are the same pace. */
const ofOnePace = 0.2;

/** How it is told where nothing shows a hold and cells are blank. */
export const everyNumber = 'every row that has a number';

/** Marks the rows with a new reading: by the polling order, by a pattern of holding, by the channel's own clock, by rows that repeat unevenly, else every row that has a number. */
export function freshnessOf(values: Float64Array, column: number, quantum: number, setting: FreshnessSetting): Freshness {
  const { timeS, parts, polling, changes, all, rowHold, everyRow } = setting;
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
  const periodS = ownPeriod(values, timeS, parts, quantum);
  if (found !== undefined && found !== null) {
    const fresh = present(values);
    // A part too short to show the pattern was recorded by the same logger: there only changes count as new.
    for (const [i, { from, to }] of parts.entries()) keepRenewals(fresh, values, from, to, holds[i] ?? null);
    const refreshS = refreshSpread(timeS, fresh, parts)?.median ?? Number.NaN;
    // A pattern of rows that the channel's own pace contradicts is luck: another clock's rows run through it.
    if (periodS === null || Math.abs(Math.log(refreshS / periodS)) < ofOnePace) {
      const how = `held: renewed ${found.renewals === 1 ? 'once' : `${found.renewals} times`} in every ${found.cycleRows} rows`;
      return { fresh, how };
    }
  }
  // A period of one row is no hold: a number that comes twice is a reading twice.
  const ofRows = periodS !== null && everyRow !== null && Math.abs(Math.log(everyRow.median / periodS)) < ofOnePace;
  if (periodS !== null && !ofRows) return byClock(values, quantum, setting, periodS);
  const uneven = findIrregularHold(values, parts, quantum) ?? rowHold;
  if (uneven !== null) {
    const fresh = new Uint8Array(values.length);
    uneven.mark(fresh);
    for (let i = 0; i < fresh.length; i++) if (Number.isNaN(values[i]!)) fresh[i] = 0;
    return { fresh, how: `held: renewed about every ${uneven.gapRows} rows` };
  }
  if (values.includes(Number.NaN)) return { fresh: present(values), how: everyNumber };
  return { fresh: all, how: 'every row' };
}

/** New readings by a clock: the channel's own, or that of another channel which it keeps as well. */
export function byClock(
  values: Float64Array,
  quantum: number,
  { timeS, parts }: Pick<FreshnessSetting, 'timeS' | 'parts'>,
  periodS: number,
): Freshness & { readonly periodS: number } {
  const fresh = rowsByClock(values, timeS, parts, { periodS, quantum });
  return { fresh, how: `held: by its changes new about every ${periodS.toPrecision(2)} s`, periodS };
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
