import { type Finding, type Place, PullproofError } from '../findings/index.js';
import { cellKinds } from './cell.js';
import { findImplausible } from './checks/plausible.js';
import { takeOutSentinels } from './checks/sentinels.js';
import { findStuck } from './checks/stuck.js';
import { recognise } from './columnChannel.js';
import { freshnessOf } from './freshness.js';
import type { Channel, Log } from './log.js';
import { parseName } from './nameAndUnit.js';
import { findPolling } from './polling.js';
import { quantityDimensions } from './quantityDimensions.js';
import { quantumOf } from './quantum.js';
import type { ReadOptions } from './readOptions.js';
import { refreshSpread } from './refresh.js';
import { cellFindings, resolveColumn } from './resolveColumn.js';
import type { HeadColumn } from './settleTable.js';
import { shownName } from './shownName.js';
import type { Table } from './table.js';
import { buildTimeAxis, type TimeAxis } from './timeAxis.js';
import { settleTimeForm, type TimeForm } from './timeColumn.js';

type Built = Pick<
  Log,
  'rows' | 'rowsDropped' | 'timeS' | 'rowNumbers' | 'parts' | 'channels' | 'findings' | 'timeEvidence' | 'timeTickS' | 'maxGapS'
>;

/** Turns the read columns into one time axis and channels in SI. */
export function buildChannels(table: Table, heads: readonly HeadColumn[], timeColumn: number, options: ReadOptions, where: Place): Built {
  const findings: Finding[] = [...cellFindings(table.columns, where)];
  const kept = new Stamps(table, timeColumn, where, findings);
  const rows = kept.rows;
  if (rows < 2) {
    throw new PullproofError(
      'E_TOO_FEW_SAMPLES',
      `${rows === 1 ? 'a single row' : 'no row'} of data cannot show a change.`,
      where,
      'Record a whole pull.',
    );
  }
  const rowNumbers = kept.take(table.takeRowNumbers());
  const changes = kept.take(table.takeChanges());
  const restarts = kept.positions(table.restarts);
  const rpmStep = largeRpmStep(table, heads);
  let axis: TimeAxis;
  let timeEvidence: string;
  let form: TimeForm | null = null;
  if (timeColumn < 0) {
    const rateHz = options.rateHz!;
    const counter: TimeForm = { form: 'number', toS: (value) => value / rateHz, wrapS: null, counterUnitS: null, evidence: '', unit: 's' };
    axis = buildTimeAxis(
      Float64Array.from({ length: rows }, (_, i) => i),
      counter,
      restarts,
      rowNumbers,
      options.maxGapS,
      where,
    );
    timeEvidence = `from the stated rate of ${rateHz} Hz`;
  } else {
    const head = heads[timeColumn]!;
    const named = kept.time!.cellUnit === '' ? head.named : parseName(head.name, kept.time!.cellUnit);
    form = settleTimeForm(named, kept.time!.values, kept.kinds, options.timeUnit ?? statedUnit(head), rpmStep, {
      ...where,
      channel: head.name,
    });
    axis = buildTimeAxis(kept.time!.values, form, restarts, rowNumbers, options.maxGapS, where);
    timeEvidence = `column "${shownName(head.name)}", ${form.form}; ${form.evidence}`;
  }
  findings.push(...axis.findings);
  const polling = findPolling(changes, table.width);
  const all = new Uint8Array(rows).fill(1);
  const everyRow = refreshSpread(axis.timeS, all, axis.parts);
  const channels: Channel[] = [];
  for (const store of table.columns) {
    if (!store.kept) continue;
    const head = heads[store.column]!;
    if (store.column === timeColumn) {
      channels.push(timeChannel(head, store.column, axis, form!, all, timeEvidence));
      continue;
    }
    const kinds = store.takeKinds(table.rows);
    const resolved = resolveColumn(store, store.takeValues(table.rows), kinds, where, findings);
    const values = kept.take(resolved.values);
    const named = resolved.cellUnit === '' ? head.named : parseName(head.named.words, resolved.cellUnit);
    const recognition =
      resolved.kind === 'number' || resolved.kind === 'with unit' || head.stated !== null
        ? recognise(named, head.stated, values, options.gaugeStoich ?? 14.7)
        : {
            quantity: null,
            bank: null,
            position: null,
            reference: null,
            unit: '',
            standing: 'unknown' as const,
            evidence: holds[resolved.kind],
            toSi: null,
            wanted: null,
          };
    let quantum = quantumOf(values);
    if (recognition.quantity !== null) {
      const temperature = quantityDimensions[recognition.quantity][0] === 'temperature';
      const sentinel = takeOutSentinels(values, temperature, quantum, { ...where, channel: head.name });
      if (sentinel !== null) {
        findings.push(sentinel);
        quantum = quantumOf(values);
      }
    }
    const { fresh, how } = freshnessOf(values, store.column, axis.parts, polling, changes, quantum, all);
    const { toSi } = recognition;
    if (recognition.wanted !== null && recognition.quantity === null) findings.push(unitUnknown(head, recognition.evidence, where));
    let missing = 0;
    for (let i = 0; i < rows; i++) if (Number.isNaN(values[i]!)) missing++;
    if (toSi !== null && (toSi(1) !== 1 || toSi(-250.3) !== -250.3)) for (let i = 0; i < rows; i++) values[i] = toSi(values[i]!);
    channels.push({
      name: head.name,
      originalName: head.originalName,
      column: store.column,
      quantity: recognition.quantity,
      bank: recognition.bank,
      position: recognition.position,
      reference: recognition.reference,
      unit: recognition.unit,
      standing: recognition.standing,
      evidence: recognition.evidence,
      values,
      fresh,
      freshBy: how,
      refreshS: fresh === all ? everyRow : refreshSpread(axis.timeS, fresh, axis.parts),
      quantum: toSi === null || quantum === 0 ? quantum : Math.abs(toSi(quantum) - toSi(0)),
      missing,
    });
  }
  refuseAmbiguous(channels, where);
  findings.push(...findStuck(channels, axis.timeS, where), ...findImplausible(channels, rows, where));
  const oddTime = implausibleTime(axis, form, heads[timeColumn]?.name ?? '', rpmStep, where);
  if (oddTime !== null) findings.push(oddTime);
  return {
    rows,
    rowsDropped: table.dataRow - rows,
    timeS: axis.timeS,
    rowNumbers,
    parts: axis.parts,
    channels,
    findings,
    timeEvidence,
    timeTickS: axis.tickS,
    maxGapS: axis.maxGapS,
  };
}

const holds: Readonly<Record<'clock' | 'state' | 'text' | 'empty', string>> = {
  clock: 'holds clock times',
  state: 'a state, 1 for on and 0 for off',
  text: 'holds words',
  empty: 'holds nothing',
};

function timeChannel(head: HeadColumn, column: number, axis: TimeAxis, form: TimeForm, all: Uint8Array, evidence: string): Channel {
  return {
    name: head.name,
    originalName: head.originalName,
    column,
    quantity: 'time',
    bank: null,
    position: null,
    reference: null,
    unit: form.unit,
    standing: head.stated !== null ? 'stated' : form.evidence.startsWith('no unit') ? 'guessed' : 'recognised',
    evidence,
    values: axis.timeS,
    fresh: all,
    freshBy: 'every row',
    refreshS: refreshSpread(axis.timeS, all, axis.parts),
    quantum: axis.tickS,
    missing: 0,
  };
}

/** Two columns of one name that mean one quantity and disagree: which one is right is for the user to say. */
function refuseAmbiguous(channels: readonly Channel[], where: Place): void {
  for (const [i, a] of channels.entries()) {
    if (a.quantity === null || a.standing === 'stated') continue;
    const b = channels.slice(i + 1).find((other) => other.name === a.name && other.quantity === a.quantity && other.standing !== 'stated');
    if (b === undefined || a.values.every((value, row) => Object.is(value, b.values[row]))) continue;
    throw new PullproofError(
      'E_AMBIGUOUS_CHANNEL',
      `columns ${a.column + 1} and ${b.column + 1} are both called "${shownName(a.name)}", both read as ${a.quantity}, and their numbers differ.`,
      { ...where, channel: a.name },
      `Say which one counts, for example channels: { "Col ${b.column + 1}": ignore }.`,
    );
  }
}

/** A written unit of time under which no engine log makes sense. */
function implausibleTime(axis: TimeAxis, form: TimeForm | null, name: string, rpmStep: number, where: Place): Finding | null {
  if (form === null || form.counterUnitS === null || axis.timeS.length < 3) return null;
  const { medianStepS: step } = axis;
  const slow = step > 4 && (form.unit === 's' || form.unit === 'min');
  const fast = step < 0.0004 || rpmStep / step > 100_000;
  if (!slow && !fast) return null;
  const likely = slow ? 'ms logged as s' : 's logged as ms';
  return {
    code: 'W_IMPLAUSIBLE',
    severity: 'warning',
    message: `"${shownName(name)}" steps by ${Number(step.toPrecision(3))} s between rows: ${likely}. It was used as it is called.`,
    where: { ...where, channel: name },
    fix: `If so, state it: --time-unit ${slow ? 'ms' : 's'} (in the library: timeUnit).`,
  };
}

function unitUnknown(head: HeadColumn, evidence: string, where: Place): Finding {
  return {
    code: 'W_UNIT_UNKNOWN',
    severity: 'warning',
    message: `not used: ${evidence}.`,
    where: { ...where, channel: head.name },
    fix: `Say what it is, for example channels: { "${shownName(head.name)}": … } with its unit.`,
  };
}

function statedUnit(head: HeadColumn): 's' | 'ms' | 'us' | undefined {
  const symbol = head.stated?.unit?.symbol;
  return symbol === 's' || symbol === 'ms' || symbol === 'us' ? symbol : undefined;
}

/** Large change of engine speed between two rows, to rule out units of time by; NaN without an engine speed. */
function largeRpmStep(table: Table, heads: readonly HeadColumn[]): number {
  const column = heads.findIndex(({ named, stated }) => (stated?.quantity ?? named.match?.quantity) === 'engine-speed');
  if (column < 0 || !table.columns[column]!.kept) return Number.NaN;
  return table.columns[column]!.largeStep(Math.min(2000, table.rows));
}

/** Rows that have a time; the others are left out, with everything in them. */
class Stamps {
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
    const resolved = resolveColumn(store, store.takeValues(table.rows), kinds, where, trailing);
    const { values } = resolved;
    const index: number[] = [];
    let lastTimed = -1;
    for (let i = 0; i < values.length; i++) {
      if (Number.isNaN(values[i]!)) continue;
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
        message: `${footers} rows without a time at the end were left out: a footer.`,
        where,
        fix: 'They are no samples.',
        count: footers,
      });
    }
    const others = values.length - index.length - footers;
    if (others > 0) {
      findings.push({
        code: 'W_TIME_MISSING',
        severity: 'warning',
        message: `${others} rows have no time and were left out.`,
        where: { ...where, channel: store.name },
        fix: 'Nothing is put in their place.',
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
