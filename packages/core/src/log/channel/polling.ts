/** A logger that asks one channel at a time: cycle length in rows, and each column's place in the cycle over stretches of rows. */
export interface Polling {
  readonly cycleRows: number;
  /** For each block of rows: the row from which it counts. A block whose order could not be confirmed has phase -1. */
  readonly blocks: readonly { readonly from: number; readonly to: number; readonly phase: number }[];
  /** Column asked at each place of the cycle; -1 where none ever changed there. A column may be asked more than once. */
  readonly owners: Int32Array;
}

/** Share of rows in which more than one column may change, for a logger to count as asking one at a time. */
const severalAtMost = 0.005;
/** Log-odds that the order is no luck: one in e^25. */
const sureEnough = 25;

/**
 * Finds the round of a logger that asks one channel at a time, from which column changes in which row.
 *
 * @param changes per row the one column that changed, -1 none, -2 several
 * @param columns number of columns
 * @returns the round, or null when several columns change together or no order stands out
 */
export function findPolling(changes: Int16Array, columns: number): Polling | null {
  let several = 0;
  let single = 0;
  const seen = new Uint8Array(columns);
  for (let i = 1; i < changes.length; i++) {
    const column = changes[i]!;
    if (column === -2) several++;
    else if (column >= 0) {
      single++;
      seen[column] = 1;
    }
  }
  const active = seen.reduce((a, b) => a + b, 0);
  if (active < 3 || several > severalAtMost * changes.length || single < 3 * active) return null;
  for (let cycleRows = 2; cycleRows <= Math.min(256, 4 * columns); cycleRows++) {
    const found = tryCycle(changes, columns, active, cycleRows);
    if (found !== null) return found;
  }
  return null;
}

function tryCycle(changes: Int16Array, columns: number, active: number, cycleRows: number): Polling | null {
  const owners = firstOwners(changes, columns, active, cycleRows);
  if (owners === null) return null;
  const size = cycleRows * 30;
  const blocks: { from: number; to: number; phase: number }[] = [];
  let confirmed = 0;
  for (let from = 0; from < changes.length; from += size) {
    const to = Math.min(changes.length, from + size);
    const phase = phaseOf(changes, from, to, owners, blocks.at(-1)?.phase ?? 0);
    if (phase >= 0) confirmed += to - from;
    const last = blocks.at(-1);
    if (last !== undefined && last.phase === phase) last.to = to;
    else blocks.push({ from, to, phase });
  }
  return confirmed >= 0.8 * changes.length ? { cycleRows, blocks, owners: completed(owners, columns, changes) } : null;
}

/** The column asked at each place, by the first rows; null where several share a place or the evidence is thin. */
function firstOwners(changes: Int16Array, columns: number, active: number, cycleRows: number): Int32Array | null {
  const votes = new Uint32Array(cycleRows * columns);
  const span = Math.min(changes.length, Math.max(2000, cycleRows * 400));
  let total = 0;
  for (let i = 0; i < span; i++) {
    const column = changes[i]!;
    if (column < 0) continue;
    votes[(i % cycleRows) * columns + column]!++;
    total++;
  }
  const owners = new Int32Array(cycleRows).fill(-1);
  let agreeing = 0;
  for (let place = 0; place < cycleRows; place++) {
    let most = 0;
    for (let column = 0; column < columns; column++) {
      const count = votes[place * columns + column]!;
      if (count > most) {
        most = count;
        owners[place] = column;
      }
    }
    agreeing += most;
  }
  return agreeing >= 0.97 * total && (agreeing - cycleRows) * Math.log(active) > sureEnough ? owners : null;
}

/** The shift under which a block's changes fall on their columns' places; -1 when none fits. A block without changes goes on as before. */
function phaseOf(changes: Int16Array, from: number, to: number, owners: Int32Array, before: number): number {
  const cycleRows = owners.length;
  const votes = new Uint32Array(cycleRows);
  let total = 0;
  for (let i = from; i < to; i++) {
    const column = changes[i]!;
    if (column < 0) continue;
    let known = false;
    for (let place = 0; place < cycleRows; place++) {
      if (owners[place] !== column) continue;
      known = true;
      votes[(((i - place) % cycleRows) + cycleRows) % cycleRows]!++;
    }
    if (known) total++;
  }
  if (total === 0) return before;
  let best = Math.max(0, before);
  for (let phase = 0; phase < cycleRows; phase++) if (votes[phase]! > votes[best]!) best = phase;
  return votes[best]! >= 0.98 * total ? best : -1;
}

/** Where one place and one column are left over, they belong together. */
function completed(owners: Int32Array, columns: number, changes: Int16Array): Int32Array {
  const open = [...owners.keys()].filter((place) => owners[place] === -1);
  const changed = new Set(changes);
  const idle = Array.from({ length: columns }, (_, column) => column).filter((column) => !changed.has(column));
  // Of the columns that never change one is time; a second one must be the one asked at the open place.
  if (open.length !== 1 || idle.length !== 2) return owners;
  const done = owners.slice();
  done[open[0]!] = idle[1]!;
  return done;
}

/** Rows in which a column was asked, where the order is confirmed; elsewhere the rows in which it changed. */
export function polledRows(polling: Polling, column: number, changes: Int16Array, values: Float64Array): Uint8Array {
  const { owners, cycleRows } = polling;
  const fresh = new Uint8Array(values.length);
  let started = false;
  for (const { from, to, phase } of polling.blocks) {
    for (let i = from; i < to; i++) {
      if (Number.isNaN(values[i]!)) continue;
      const asked = phase >= 0 && owners[(((i - phase) % cycleRows) + cycleRows) % cycleRows] === column;
      if (asked || changes[i] === column || !started) fresh[i] = 1;
      started = true;
    }
  }
  return fresh;
}
