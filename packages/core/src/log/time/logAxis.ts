import type { Place } from '../../findings/index.js';
import type { ReadOptions } from '../readOptions.js';
import type { HeadColumn } from '../table/settleTable.js';
import type { Table } from '../table/table.js';
import { shownName } from '../text/shownName.js';
import { parseName } from '../words/nameAndUnit.js';
import { buildTimeAxis, type TimeAxis } from './timeAxis.js';
import { settleTimeForm, type TimeForm } from './timeColumn.js';
import type { TimedRows } from './timedRows.js';

/** The log's time axis with what it rests on. */
export interface LogAxis {
  readonly axis: TimeAxis;
  /** How the time column counts; null where a rate was stated instead. */
  readonly form: TimeForm | null;
  readonly evidence: string;
}

/** Builds the time axis from the time column, or from the stated rate where there is none. */
export function settleLogAxis(
  kept: TimedRows,
  head: HeadColumn | undefined,
  rowNumbers: Uint32Array,
  restarts: readonly number[],
  rpmPerRow: number,
  options: ReadOptions,
  where: Place,
): LogAxis {
  const { rateHz = 1, maxGapS, timeUnit } = options;
  if (head === undefined || kept.time === null) {
    const counter: TimeForm = { form: 'number', toS: (value) => value / rateHz, wrapS: null, counterUnitS: null, evidence: '', unit: 's' };
    const numbers = Float64Array.from({ length: kept.rows }, (_, i) => i);
    return {
      axis: buildTimeAxis(numbers, counter, restarts, rowNumbers, maxGapS, where),
      form: null,
      evidence: `from the stated rate of ${rateHz} Hz`,
    };
  }
  const { values, cellUnit } = kept.time;
  const named = cellUnit === '' ? head.named : parseName(head.name, cellUnit);
  const form = settleTimeForm(named, values, kept.kinds, timeUnit ?? statedUnit(head), rpmPerRow, { ...where, channel: head.name });
  return {
    axis: buildTimeAxis(values, form, restarts, rowNumbers, maxGapS, where),
    form,
    evidence: `column "${shownName(head.name)}", ${form.form}; ${form.evidence}`,
  };
}

/** How fast the engine speed moves from row to row over longer spans, to rule out units of time by; NaN where that is unknown. */
export function rpmPerRow(table: Table, heads: readonly HeadColumn[]): number {
  const column = heads.findIndex(({ named, stated }) => (stated?.quantity ?? named.match?.quantity) === 'engine-speed');
  if (column < 0 || !table.columns[column]!.kept) return Number.NaN;
  return table.columns[column]!.changePerRow(Math.min(2000, table.rows));
}

function statedUnit(head: HeadColumn): 's' | 'ms' | 'us' | undefined {
  const symbol = head.stated?.unit?.symbol;
  return symbol === 's' || symbol === 'ms' || symbol === 'us' ? symbol : undefined;
}
