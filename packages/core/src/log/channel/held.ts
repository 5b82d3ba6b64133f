/** A channel that the logger renews only in some rows of a repeating pattern, and holds in between. */
export interface Hold {
  readonly cycleRows: number;
  /** How many new readings a cycle brings. */
  readonly renewals: number;
  /** True where row i, counted from the start of the part, may bring a new reading. */
  readonly isRenewed: (i: number) => boolean;
}

const longestCycle = 60;
/** Log-odds that the pattern is no luck. */
const sureEnough = 30;

/**
 * Finds whether a channel is held: its changes then fall only on some rows of a repeating cycle, by far too often for luck.
 * A channel that merely repeats because its steps are coarse changes on any row, and is not held. Where every change is one step and the
 * direction seldom turns, the two cannot be told apart, and it is not called held.
 *
 * @param values logged numbers of one part
 * @param quantum smallest step between values, 0 when unknown
 */
export function findHold(values: Float64Array, from: number, to: number, quantum: number): Hold | null {
  if (changesThroughout(values, from, to)) return null;
  const rows: number[] = [];
  let reversals = 0;
  let direction = 0;
  let large = 0;
  let last = Number.NaN;
  let present = 0;
  for (let i = from; i < to; i++) {
    const value = values[i]!;
    if (Number.isNaN(value)) continue;
    present++;
    if (value !== last && !Number.isNaN(last)) {
      rows.push(i - from);
      const sign = value > last ? 1 : -1;
      if (sign === -direction) reversals++;
      direction = sign;
      if (quantum > 0 && Math.abs(value - last) > 1.5 * quantum) large++;
    }
    last = value;
  }
  // Renewed in more than two rows of three: nothing is held that could be told.
  if (rows.length < 12 || rows.length > 0.67 * present) return null;
  // A pedal that moves for a moment and then rests changes on neighbouring rows: it is renewed on every row, and only rests.
  let neighbours = 0;
  for (let i = 1; i < rows.length; i++) if (rows[i]! - rows[i - 1]! === 1) neighbours++;
  if (neighbours > 0.02 * rows.length) return null;
  if (quantum > 0 && large < 0.02 * rows.length && reversals < 0.2 * rows.length) return null;
  let best: { readonly cycleRows: number; readonly renewed: Uint8Array; readonly odds: number } | null = null;
  for (let cycleRows = 2; cycleRows <= longestCycle; cycleRows++) {
    const votes = new Uint32Array(cycleRows);
    for (const row of rows) votes[row % cycleRows]!++;
    const order = [...votes.keys()].sort((a, b) => votes[b]! - votes[a]!);
    let covered = 0;
    let count = 0;
    while (covered < 0.995 * rows.length) covered += votes[order[count++]!]!;
    if (count > 0.67 * cycleRows) continue;
    const odds = rows.length * Math.log(cycleRows / count) - logChoices(cycleRows, count);
    if (odds > sureEnough && (best === null || odds > 1.02 * best.odds)) {
      const renewed = new Uint8Array(cycleRows);
      for (const slot of order.slice(0, count)) renewed[slot] = 1;
      best = { cycleRows, renewed, odds };
    }
  }
  return best === null ? null : followed(rows, best.cycleRows, best.renewed, to - from);
}

const blockCycles = 20;

/** The pattern block by block: where the logger slips by a row, the rows of renewal move with it. A block with few changes goes on as the one before. */
function followed(rows: readonly number[], cycleRows: number, renewed: Uint8Array, length: number): Hold {
  const size = cycleRows * blockCycles;
  const blocks: Uint8Array[] = [];
  let next = 0;
  let before = renewed;
  for (let start = 0; start < length; start += size) {
    const seen = new Uint8Array(cycleRows);
    let changes = 0;
    for (; next < rows.length && rows[next]! < start + size; next++) {
      seen[rows[next]! % cycleRows] = 1;
      changes++;
    }
    if (changes >= 5) before = seen;
    blocks.push(before);
  }
  const counts = blocks.map(runsOf).sort((a, b) => a - b);
  return { cycleRows, renewals: counts[counts.length >> 1]!, isRenewed: (i) => blocks[Math.floor(i / size)]![i % cycleRows] === 1 };
}

/** Runs of neighbouring rows of renewal in a cycle; each stands for one renewal. */
function runsOf(block: Uint8Array): number {
  let runs = 0;
  for (let i = 0; i < block.length; i++) if (block[i] === 1 && block[(i + block.length - 1) % block.length] === 0) runs++;
  return runs;
}

/** True when the number changes in more than two rows of three at the start, in the middle and at the end: a channel that is plainly not held. */
function changesThroughout(values: Float64Array, from: number, to: number): boolean {
  const span = 500;
  if (to - from < 6 * span) return false;
  return [from, (from + to - span) >> 1, to - span].every((start) => {
    let changed = 0;
    for (let i = start + 1; i < start + span; i++) if (values[i] !== values[i - 1]) changed++;
    return changed > 0.67 * span;
  });
}

/** Logarithm of the number of ways to choose. */
function logChoices(of: number, count: number): number {
  let sum = 0;
  for (let i = 0; i < count; i++) sum += Math.log((of - i) / (i + 1));
  return sum;
}
