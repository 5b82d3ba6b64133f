import type { Finding, Place } from '../../findings/index.js';
import { type CellKind, cellKinds } from '../text/cell.js';
import { counted } from '../text/counted.js';
import { shownName } from '../text/shownName.js';
import type { ColumnStore } from './columnStore.js';

/** A column settled to one kind of cell: its numbers, and the unit that its cells carry. */
export interface ResolvedColumn {
  /** Numbers, NaN where a cell is blank, missing or of another kind. */
  readonly values: Float64Array;
  readonly kind: 'number' | 'with unit' | 'clock' | 'state' | 'text' | 'empty';
  /** Unit that every cell carries; empty otherwise. */
  readonly cellUnit: string;
}

const clocks: ReadonlySet<number> = new Set([cellKinds.clock, cellKinds.clock12, cellKinds.minutes, cellKinds.dateTime, cellKinds.date]);

/** Settles what a column holds by most of its cells; the others become NaN and are counted. */
export function resolveColumn(
  store: ColumnStore,
  values: Float64Array,
  kinds: Uint8Array | null,
  where: Place,
  findings: Finding[],
): ResolvedColumn {
  if (kinds === null) return { values, kind: 'number', cellUnit: '' };
  let numbers = 0;
  for (let i = 0; i < values.length; i++) if (kinds[i] === cellKinds.number && !Number.isNaN(values[i]!)) numbers++;
  numbers += store.counts[cellKinds.imprecise]!;
  const counts = {
    number: numbers,
    'with unit': store.counts[cellKinds.withUnit]!,
    clock: [...clocks].reduce((sum, kind) => sum + store.counts[kind]!, 0),
    state: store.counts[cellKinds.state]!,
    text: store.counts[cellKinds.text]!,
  };
  const units = [...store.texts.keys()].filter((text) => text !== '');
  const kind = (Object.keys(counts) as (keyof typeof counts)[]).reduce((a, b) => (counts[b] > counts[a] ? b : a));
  if (counts[kind] === 0) return { values, kind: 'empty', cellUnit: '' };
  const wholly = kind === 'with unit' && counts['with unit'] > 0 && numbers === 0 && counts.text === 0 && sameUnit(store);
  const allowed = (cell: number): boolean => {
    if (kind === 'clock') return clocks.has(cell);
    if (kind === 'state') return cell === cellKinds.state;
    if (kind === 'with unit') return wholly && cell === cellKinds.withUnit;
    return cell === cellKinds.number || cell === cellKinds.imprecise;
  };
  let odd = 0;
  for (let i = 0; i < values.length; i++) {
    const cell = kinds[i]! as CellKind;
    if (allowed(cell) || (cell === cellKinds.number && Number.isNaN(values[i]!))) continue;
    values[i] = Number.NaN;
    if (cell !== cellKinds.missing && cell !== cellKinds.outOfRange) odd++;
  }
  if (odd > 0 && !(kind === 'text' && numbers === 0 && counts['with unit'] === 0)) {
    const seen = units
      .slice(0, 5)
      .map((text) => `"${shownName(text)}"`)
      .join(', ');
    findings.push({
      code: 'W_NOT_A_NUMBER',
      severity: 'warning',
      message: `no number in ${counted(odd, 'cell')}${seen === '' ? '' : `, such as ${seen}`}; counted as missing.`,
      where: { ...where, channel: store.name, ...firstOf(store, [cellKinds.text, cellKinds.withUnit, cellKinds.state, ...clocks]) },
      fix: 'Check the logger or the export.',
      count: odd,
    });
  }
  return { values, kind, cellUnit: wholly ? (units[0] ?? '') : '' };
}

/** Data row of the first cell of any of these kinds; empty where there is none. */
function firstOf(store: ColumnStore, kinds: readonly number[]): { readonly row?: number } {
  const rows = kinds.flatMap((kind) => (store.counts[kind] === 0 ? [] : [store.firstRows[kind]!]));
  return rows.length === 0 ? {} : { row: Math.min(...rows) };
}

function sameUnit(store: ColumnStore): boolean {
  return [...store.texts.keys()].length === 1;
}

/** Findings about numbers that are none: tokens for no reading, numbers out of range or beyond exact integers. */
export function cellFindings(columns: readonly ColumnStore[], where: Place): Finding[] {
  const found: Finding[] = [];
  let missing = 0;
  const tokens = new Map<string, number>();
  let firstMissing = Number.POSITIVE_INFINITY;
  for (const store of columns) {
    const count = store.counts[cellKinds.missing]!;
    if (count === 0) continue;
    missing += count;
    firstMissing = Math.min(firstMissing, store.firstRows[cellKinds.missing]!);
    for (const [token, seen] of store.missingTexts) tokens.set(token, (tokens.get(token) ?? 0) + seen);
  }
  if (missing > 0) {
    const list = [...tokens].map(([token, count]) => `${shownName(token)} ${count}`).join(', ');
    found.push({
      code: 'W_MISSING_TOKENS',
      severity: 'warning',
      message: `no reading in ${counted(missing, 'cell')}: ${list}.`,
      where: { ...where, row: firstMissing },
      fix: 'They count as missing; nothing is put in their place.',
      count: missing,
    });
  }
  for (const store of columns) {
    const place = { ...where, channel: store.name };
    const out = store.counts[cellKinds.outOfRange]!;
    if (out > 0) {
      found.push({
        code: 'W_OUT_OF_RANGE',
        severity: 'warning',
        message: `${counted(out, 'number')} too large to be held, counted as missing.`,
        where: { ...place, row: store.firstRows[cellKinds.outOfRange]! },
        fix: 'Check the logger.',
        count: out,
      });
    }
    const rounded = store.counts[cellKinds.imprecise]!;
    if (rounded > 0) {
      found.push({
        code: 'W_PRECISION',
        severity: 'warning',
        message: `${counted(rounded, 'whole number')} with more digits than are held exactly (beyond 2^53), rounded.`,
        where: { ...place, row: store.firstRows[cellKinds.imprecise]! },
        fix: 'Fine for a counter; check if it is a reading.',
        count: rounded,
      });
    }
  }
  return found;
}
