import { type CellReader, cellKinds } from '../text/cell.js';
import type { HeadRecord } from './layout.js';

/** Rows of numbers above the data that may be no samples: the least, the largest and the rate of each channel. */
const mostLeading = 3;
/** Rows that must follow with a steady clock for those above them to be told apart from samples. */
const steadyRows = 5;
/** So many steps a time must fall, or rise, for the row to belong to no recording: a clock that was set moves less. */
const farFall = 10;
const farRise = 1000;

/**
 * How many rows of numbers at the top are no samples but say something of each channel (its limits, its rate): a word stands where their time should, or
 * their time lies far from that of the rows below, which is steady. 0 where the first row is one of data, or nothing tells.
 */
export function leadingRows(records: readonly HeadRecord[], data: number, timeColumn: number, reader: CellReader): number {
  if (timeColumn < 0) return 0;
  const times: number[] = [];
  const { length } = records[data]!.cells;
  for (const { cells } of records.slice(data, data + mostLeading + steadyRows + 1)) {
    // A row of another width has lost or won a field, or is no row: it says nothing of the channels.
    if (cells.length !== length) break;
    reader.read(cells[timeColumn] ?? '');
    times.push(reader.kind === cellKinds.text ? Number.NaN : reader.value);
  }
  const words = times.findIndex((time) => !Number.isNaN(time));
  for (let lead = Math.min(mostLeading, times.length - steadyRows - 1); lead > 0; lead--) {
    const below = times.slice(lead);
    const steps = below.slice(1).map((time, i) => time - below[i]!);
    const usual = [...steps].sort((a, b) => a - b)[steps.length >> 1]!;
    if (!steps.every((step) => step > 0 && step < 20 * usual)) continue;
    const step = times[lead]! - times[lead - 1]!;
    if (words === lead || step < -farFall * usual || step > farRise * usual) return lead;
  }
  return 0;
}
