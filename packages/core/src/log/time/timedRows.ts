import type { Finding, Place } from '../../findings/index.js';
import { resolveColumn } from '../table/resolveColumn.js';
import type { Table } from '../table/table.js';
import { cellKinds } from '../text/cell.js';
import { counted } from '../text/counted.js';

/** No clock counts further, in whatever unit: nanoseconds since 1970 are 1.8e18. */
const mostTime = 1e19;

/** Rows that have a time; the others are left out, with everything in them. */
export class TimedRows {
  readonly rows: number;
  readonly time: { readonly values: Float64Array; readonly cellUnit: string } | null;
  readonly kinds: Uint8Array | null;
  private readonly keep: Uint32Array | null;

  constructor(table: Table, timeColumn: number, where: Place, findings: Finding[]) {
    if (timeColumn < 0) {
      this.rows = table.rows;
      this.time = null;
      this.kinds = null;
      this.keep = null;
      return;
    }
    const store = table.columns[timeColumn]!;
    const kinds = store.takeKinds(table.rows);
    const trailing: Finding[] = [];
    const resolved = resolveColumn(store, store.takeValues(table.rows), kinds, (index) => table.rowNumberOf(index), where, trailing);
    const { values } = resolved;
    const index: number[] = [];
    let lastTimed = -1;
    for (let i = 0; i < values.length; i++) {
      if (!(Math.abs(values[i]!) <= mostTime)) continue;
      index.push(i);
      lastTimed = i;
    }
    this.rows = index.length;
    this.keep = index.length === values.length ? null : Uint32Array.from(index);
    this.time = { values: this.take(values), cellUnit: resolved.cellUnit };
    this.kinds = kinds === null ? null : this.take(kinds);
    const footer = kinds === null ? 0 : values.length - 1 - lastTimed;
    const footers = footer > 0 && kinds!.subarray(lastTimed + 1).some((kind) => kind === cellKinds.text) ? footer : 0;
    if (footers > 0) {
      findings.push({
        code: 'W_FOOTER',
        severity: 'warning',
        message: `${counted(footers, 'row')} without a time at the end skipped: a footer.`,
        where,
        fix: 'They hold no data.',
        count: footers,
      });
    }
    const others = values.length - index.length - footers;
    if (others > 0) {
      findings.push({
        code: 'W_TIME_MISSING',
        severity: 'warning',
        message: `${counted(others, 'row')} without a time skipped.`,
        where: { ...where, channel: store.name },
        fix: 'Nothing was put in their place.',
        count: others,
      });
    }
  }

  take<T extends Float64Array | Uint8Array | Uint32Array | Int16Array>(values: T): T {
    const { keep } = this;
    if (keep === null) return values;
    const taken = values.slice(0, keep.length) as T;
    for (let i = 0; i < keep.length; i++) taken[i] = values[keep[i]!]!;
    return taken;
  }

  /** Row positions among the kept rows. */
  positions(rows: readonly number[]): number[] {
    const { keep } = this;
    if (keep === null) return [...rows];
    return rows.map((row) => keep.findIndex((kept) => kept >= row)).filter((row) => row >= 0);
  }
}
