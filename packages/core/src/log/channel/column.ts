import type { ResolvedColumn } from '../table/resolveColumn.js';
import type { HeadColumn } from '../table/settleTable.js';
import type { NamedColumn } from '../words/nameAndUnit.js';
import type { Recognition } from './columnChannel.js';

/** A column with what it is by itself. Its numbers are those of the file. */
export interface Column {
  readonly head: HeadColumn;
  readonly column: number;
  readonly named: NamedColumn;
  readonly resolved: ResolvedColumn;
  readonly recognition: Recognition;
}
