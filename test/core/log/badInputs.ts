import { cells } from './badInputs/cells.js';
import { containers } from './badInputs/containers.js';
import { dialects } from './badInputs/dialects.js';
import type { BadInput } from './badInputs/entry.js';
import { layouts } from './badInputs/layouts.js';
import { times } from './badInputs/times.js';

/** The table of bad inputs as far as reading goes, by id. */
export const badInputs: readonly BadInput[] = [...containers, ...dialects, ...layouts, ...times, ...cells].sort((a, b) => a.id - b.id);

/** Lines of the table that are no matter of reading: the test that holds each. */
export const heldElsewhere: ReadonlyMap<number, string> = new Map(
  [71, 72, 73, 74, 77, 78, 79, 80].map((id) => [id, id === 80 ? 'compare' : 'the command line']),
);
