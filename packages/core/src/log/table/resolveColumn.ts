import type { Finding, Place } from '../../findings/index.js';
import { findUnit } from '../../units/index.js';
import { cellKinds } from '../text/cell.js';
import { counted } from '../text/counted.js';
import { shownName } from '../text/shownName.js';
import { type ColumnStore, unitKind } from './columnStore.js';

/** A column settled to one kind of cell: its numbers, and the unit that its cells carry. */
export interface ResolvedColumn {
  /** Numbers, NaN where a cell is blank, missing or of another kind. */
  readonly values: Float64Array;
  readonly kind: 'number' | 'with unit' | 'clock' | 'state' | 'text' | 'empty';
  /** Unit that the cells carry; empty where they are bare numbers. */
  readonly cellUnit: string;
}

const clocks: ReadonlySet<number> = new Set([cellKinds.clock, cellKinds.clock12, cellKinds.minutes, cellKinds.dateTime, cellKinds.date]);

/** Settles what a column holds by most of its cells; the others become NaN and are counted. */
export function resolveColumn(
  store: ColumnStore,
  values: Float64Array,
  kinds: Uint8Array | null,
  rowNumberOf: (index: number) => number,
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
  const kind = (Object.keys(counts) as (keyof typeof counts)[]).reduce((a, b) => (counts[b] > counts[a] ? b : a));
  if (counts[kind] === 0) return { values, kind: 'empty', cellUnit: '' };
  const unit = kind === 'with unit' ? usualUnit(store) : null;
  const allowed = (cell: number): boolean => {
    if (kind === 'clock') return clocks.has(cell);
    if (kind === 'state') return cell === cellKinds.state;
    if (unit !== null) return unit.kinds.has(cell);
    return cell === cellKinds.number || cell === cellKinds.imprecise;
  };
  let odd = 0;
  let firstOdd = -1;
  for (let i = 0; i < values.length; i++) {
    const cell = kinds[i]!;
    if (allowed(cell) || (cell === cellKinds.number && Number.isNaN(values[i]!))) continue;
    values[i] = Number.NaN;
    if (cell === cellKinds.missing || cell === cellKinds.outOfRange) continue;
    if (firstOdd < 0) firstOdd = i;
    odd++;
  }
  if (odd > 0 && !(kind === 'text' && numbers === 0 && counts['with unit'] === 0)) {
    const seen = oddTexts(store, unit)
      .slice(0, 5)
      .map((text) => `"${shownName(text)}"`)
      .join(', ');
    findings.push({
      code: 'W_NOT_A_NUMBER',
      severity: 'warning',
      message: `no number in ${counted(odd, 'cell')}${seen === '' ? '' : `, such as ${seen}`}; counted as missing.`,
      where: { ...where, channel: store.name, row: rowNumberOf(firstOdd) },
      fix: 'Check the logger or the export.',
      count: odd,
    });
  }
  return { values, kind, cellUnit: unit?.text ?? '' };
}

/** The unit that most cells of a column carry, with every other way of writing it. */
interface UsualUnit {
  readonly text: string;
  /** Kinds under which its cells are stored. */
  readonly kinds: ReadonlySet<number>;
}

function usualUnit(store: ColumnStore): UsualUnit {
  const spellings = [...store.units].map(([text, count], index) => ({ text, count, index, unit: findUnit(text) }));
  const counts = new Map<string, number>();
  const key = ({ text, unit }: (typeof spellings)[number]) => (unit === null ? text : `${unit.symbol} ${unit.reference ?? ''}`);
  for (const spelling of spellings) counts.set(key(spelling), (counts.get(key(spelling)) ?? 0) + spelling.count);
  const [usual] = [...counts].sort((a, b) => b[1] - a[1])[0]!;
  const own = spellings.filter((spelling) => key(spelling) === usual).sort((a, b) => b.count - a.count);
  return { text: own[0]!.text, kinds: new Set(own.map(({ index }) => unitKind(index))) };
}

/** What stands in cells that are not of the column's kind. */
function oddTexts(store: ColumnStore, unit: UsualUnit | null): string[] {
  const units = [...store.units.keys()].filter((_, index) => unit === null || !unit.kinds.has(unitKind(index)));
  return [...store.texts.keys(), ...units].filter((text) => text !== '');
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
      fix: 'They count as missing; nothing was put in their place.',
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
        message: `${counted(out, 'number')} too large to hold, counted as missing.`,
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
        message: `${counted(rounded, 'whole number')} with more digits than can be held exactly (beyond 2^53), rounded.`,
        where: { ...place, row: store.firstRows[cellKinds.imprecise]! },
        fix: 'Fine for a counter; check if it is a reading.',
        count: rounded,
      });
    }
  }
  return found;
}
