import { type Place, PullproofError } from '../../findings/index.js';
import type { SettledTable } from '../table/settleTable.js';
import { CellReader, cellKinds } from '../text/cell.js';
import { shownName } from '../text/shownName.js';

/** A column of the first rows as times. */
interface TimeCandidate {
  readonly column: number;
  /** Different values among the rows. */
  readonly distinct: number;
}

/** A column with fewer than this share of another's different values stands still or counts too coarsely beside it. */
const coarseShare = 0.6;

/**
 * The column that holds time: the stated one, the first that is called so and runs, else the only one of clock times. -1 where a rate is stated.
 *
 * @throws E_NO_TIME
 */
export function chooseTimeColumn(table: SettledTable, rateHz: number | undefined, where: Place): number {
  const { columns, firstRows } = table;
  const stated = columns.findIndex((column) => column.stated?.quantity === 'time');
  if (stated >= 0) return stated;
  // Whoever states a rate means it, whatever the columns are called.
  if (rateHz !== undefined) return -1;
  const free = (i: number) => columns[i]!.stated === null;
  const called = columns.flatMap(({ named }, i) =>
    free(i) && named.match?.quantity === 'time' && (named.unit === null || named.unit.dimension === 'time') ? [i] : [],
  );
  const clocks = columns.flatMap((_, i) => (free(i) && holdsClock(firstRows, i) ? [i] : []));
  const holding = called.filter((i) => holdsTime(firstRows, i)).map((column) => candidate(firstRows, column));
  const running =
    holding.length === 0 ? [] : [...holding, ...clocks.filter((i) => !called.includes(i)).map((i) => candidate(firstRows, i))];
  if (running.length > 0) {
    const most = Math.max(...running.map(({ distinct }) => distinct));
    return running.find(({ distinct }) => distinct >= coarseShare * most)!.column;
  }
  if (called.length > 0 && firstRows.length === 0) return called[0]!;
  if (clocks.length === 1) return clocks[0]!;
  const likely = clocks.length > 1 ? clocks[0]! : risingColumn(table);
  const name = likely === null ? 'Col 1' : shownName(columns[likely]!.name);
  const what =
    clocks.length > 1 ? 'several columns hold clock times and none is called time' : 'no column is called time and none holds clock times';
  throw new PullproofError(
    'E_NO_TIME',
    `${what}.${likely === null ? '' : ` "${name}" is likely it: it ${clocks.length > 1 ? 'holds clock times' : 'rises steadily from row to row'}.`}`,
    where,
    `State it: --channel "${name}=time s" (in a trial: channels: { "${name}": time s }), or give the rows a second: --rate 25.`,
  );
}

function candidate(rows: readonly (readonly string[])[], column: number): TimeCandidate {
  return { column, distinct: new Set(rows.map((row) => (row[column] ?? '').trim()).filter((cell) => cell !== '')).size };
}

/** The column whose numbers rise in nearly every row by about the same; null where there is none. */
function risingColumn({ columns, firstRows, dialect }: SettledTable): number | null {
  const known = (column: number) => columns[column]!.stated !== null || (columns[column]!.named.match?.quantity ?? 'time') !== 'time';
  const reader = new CellReader(dialect.decimal ?? '.');
  const found = columns.flatMap((_, column) => {
    if (known(column)) return [];
    const values = firstRows.flatMap((row) => {
      reader.read(row[column] ?? '');
      return Number.isNaN(reader.value) ? [] : [reader.value];
    });
    const steps = values.slice(1).map((value, i) => value - values[i]!);
    if (steps.length < 5) return [];
    const usual = [...steps].sort((a, b) => a - b)[steps.length >> 1]!;
    const regular = steps.filter((step) => step > 0 && step < 5 * usual).length;
    const spread = steps.reduce((sum, step) => sum + Math.abs(step - usual), 0) / steps.length / usual;
    return regular >= 0.95 * steps.length ? [{ column, spread }] : [];
  });
  return found.sort((a, b) => a.spread - b.spread || a.column - b.column)[0]?.column ?? null;
}

/** True when most of what a column holds are numbers or times. */
function holdsTime(rows: readonly (readonly string[])[], column: number): boolean {
  const reader = new CellReader('.');
  const comma = new CellReader(',');
  let times = 0;
  let others = 0;
  for (const row of rows) {
    const cell = row[column] ?? '';
    reader.read(cell);
    if (reader.kind === cellKinds.blank || reader.kind === cellKinds.missing) continue;
    if (reader.kind !== cellKinds.text || comma.readNumber(cell.trim())) times++;
    else others++;
  }
  return times > others;
}

function holdsClock(rows: readonly (readonly string[])[], column: number): boolean {
  const reader = new CellReader('.');
  let clocks = 0;
  let others = 0;
  for (const row of rows) {
    reader.read(row[column] ?? '');
    const { kind } = reader;
    if (kind === cellKinds.clock || kind === cellKinds.clock12 || kind === cellKinds.minutes || kind === cellKinds.dateTime) clocks++;
    else if (kind !== cellKinds.blank) others++;
  }
  return clocks > 0 && others <= 0.1 * clocks;
}
