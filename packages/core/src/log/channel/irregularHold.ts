/** A channel, or a whole log, that is renewed after an uneven number of rows and held in between. */
export interface IrregularHold {
  /** Usual number of rows between renewals. */
  readonly gapRows: number;
  /** Rows that bring a new reading, in each part: where the number changed, and evenly between where it was the same again. */
  readonly mark: (fresh: Uint8Array) => void;
}

type Part = { readonly from: number; readonly to: number };

/** Fewer changes show no pattern. */
const leastChanges = 20;
/** Log-odds that changes keep so far apart by no luck. */
const sureEnough = 30;
/** Share of changes that may follow nearer than the pattern: a logger slips now and then. */
const nearerAtMost = 0.02;

/**
 * Finds whether changes keep apart by some rows though each of them is large: then the logger renews the channel only now and then, if unevenly, and holds it.
 *
 * A channel that merely repeats because its steps are coarse moves by single steps, and where it moves fast its changes stand side by side.
 *
 * @param values logged numbers
 * @param quantum smallest step between values, 0 when unknown
 */
export function findIrregularHold(values: Float64Array, parts: readonly Part[], quantum: number): IrregularHold | null {
  const changes: number[][] = [];
  let all = 0;
  let large = 0;
  let reversals = 0;
  for (const { from, to } of parts) {
    const rows: number[] = [];
    let last = Number.NaN;
    let direction = 0;
    for (let i = from; i < to; i++) {
      const value = values[i]!;
      if (Number.isNaN(value)) continue;
      if (value !== last && !Number.isNaN(last)) {
        rows.push(i);
        const sign = value > last ? 1 : -1;
        if (sign === -direction) reversals++;
        direction = sign;
        if (quantum === 0 || Math.abs(value - last) > 1.5 * quantum) large++;
      }
      last = value;
    }
    all += rows.length;
    changes.push(rows);
  }
  if (large < 0.3 * all && reversals < 0.25 * all) return null;
  return holdOf(changes, parts);
}

/**
 * The same for the log as a whole: rows in which nothing changes at all, between rows in which several channels change at once.
 *
 * @param changed per row the column that alone changed, -1 none, -2 several
 */
export function findRowHold(changed: Int16Array, parts: readonly Part[]): IrregularHold | null {
  let several = 0;
  const changes = parts.map(({ from, to }) => {
    const rows: number[] = [];
    for (let i = from + 1; i < to; i++) {
      if (changed[i] === -1) continue;
      rows.push(i);
      if (changed[i] === -2) several++;
    }
    return rows;
  });
  const all = changes.reduce((sum, rows) => sum + rows.length, 0);
  return several < 0.7 * all ? null : holdOf(changes, parts);
}

function holdOf(changes: readonly (readonly number[])[], parts: readonly Part[]): IrregularHold | null {
  const gaps = changes.flatMap((rows) => rows.slice(1).map((row, i) => row - rows[i]!)).sort((a, b) => a - b);
  if (gaps.length < leastChanges) return null;
  const least = gaps[Math.floor(nearerAtMost * gaps.length)]!;
  if (least < 2) return null;
  // One renewal after another: longer gaps hold renewals that brought the same number again.
  const single = gaps.filter((gap) => gap <= 1.7 * gaps[Math.floor(0.1 * gaps.length)]!);
  if (single.length < 0.5 * gaps.length) return null;
  const rows = parts.reduce((sum, { from, to }) => sum + to - from, 0);
  const share = gaps.length / rows;
  const odds = -(least - 1) * gaps.length * Math.log(1 - share);
  if (!(odds > sureEnough)) return null;
  const gapRows = single[single.length >> 1]!;
  return {
    gapRows,
    mark: (fresh) => {
      for (const [p, { from, to }] of parts.entries()) {
        let last = from;
        fresh[from] = 1;
        for (const row of [...changes[p]!, to]) {
          const renewals = Math.round((row - last) / gapRows);
          for (let k = 1; k < renewals; k++) fresh[last + Math.round((k * (row - last)) / renewals)] = 1;
          if (row < to) fresh[row] = 1;
          last = row;
        }
      }
    },
  };
}
