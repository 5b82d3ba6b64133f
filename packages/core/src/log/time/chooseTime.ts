import { type Place, PullproofError } from '../../findings/index.js';
import type { SettledTable } from '../table/settleTable.js';
import { CellReader, cellKinds } from '../text/cell.js';

/**
 * The column that holds time: the stated one, the first that is called so, else the only one of clock times. -1 when a rate is given instead.
 *
 * @throws E_NO_TIME
 */
export function chooseTimeColumn({ columns, firstRows }: SettledTable, rateHz: number | undefined, where: Place): number {
  const stated = columns.findIndex((column) => column.stated?.quantity === 'time');
  if (stated >= 0) return stated;
  const free = (i: number) => columns[i]!.stated === null;
  const called = columns.flatMap(({ named }, i) =>
    free(i) && named.match?.quantity === 'time' && (named.unit === null || named.unit.dimension === 'time') ? [i] : [],
  );
  const holding = called.find((i) => holdsTime(firstRows, i));
  if (holding !== undefined) return holding;
  if (called.length > 0 && firstRows.length === 0) return called[0]!;
  const clocks = columns.flatMap((_, i) => (free(i) && holdsClock(firstRows, i) ? [i] : []));
  if (clocks.length === 1) return clocks[0]!;
  if (rateHz !== undefined) return -1;
  throw new PullproofError(
    'E_NO_TIME',
    clocks.length > 1 ? 'several columns hold clock times and none is called time.' : 'no column holds time.',
    where,
    'Say which column is time, for example channels: { "Col 1": time s }, or give the rate of the rows with --rate.',
  );
}

function holdsTime(rows: readonly (readonly string[])[], column: number): boolean {
  const reader = new CellReader('.');
  const comma = new CellReader(',');
  for (const row of rows) {
    const cell = row[column] ?? '';
    reader.read(cell);
    if (reader.kind === cellKinds.blank || reader.kind === cellKinds.missing) continue;
    return reader.kind !== cellKinds.text || comma.readNumber(cell.trim());
  }
  return false;
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
