import { cells } from './badInputs/cells.js';
import { cellUnits } from './badInputs/cellUnits.js';
import { clocks } from './badInputs/clocks.js';
import { containers } from './badInputs/containers.js';
import { dialects } from './badInputs/dialects.js';
import type { BadInput } from './badInputs/entry.js';
import { falseFindings } from './badInputs/falseFindings.js';
import { headers } from './badInputs/headers.js';
import { layouts } from './badInputs/layouts.js';
import { quotes } from './badInputs/quotes.js';
import { times } from './badInputs/times.js';

/** The table of bad inputs as far as reading goes, by id. */
export const badInputs: readonly BadInput[] = [
  ...containers,
  ...dialects,
  ...quotes,
  ...layouts,
  ...headers,
  ...times,
  ...clocks,
  ...cells,
  ...cellUnits,
  ...falseFindings,
].sort((a, b) => a.id - b.id);

/** Lines of the table that are no matter of reading: the test that holds each, and what it says there. */
export const heldElsewhere: ReadonlyMap<number, { readonly file: string; readonly says: string }> = new Map([
  [71, { file: 'test/cli/usage.test.ts', says: "'E_INPUT', ['check', 'missing.csv']" }],
  [72, { file: 'test/cli/usage.test.ts', says: "'E_NOT_REGULAR', ['check', '/dev/null']" }],
  [73, { file: 'test/cli/outputs.test.ts', says: "'E_OUTPUT_PATH', 'link.json'" }],
  [74, { file: 'test/cli/outputs.test.ts', says: 'W_GREW when the file changes meanwhile' }],
  [77, { file: 'test/report/inventedTrials.ts', says: '=cmd|' }],
  [78, { file: 'test/cli/outputs.test.ts', says: "'E_OUTPUT_PATH', 'CON'" }],
  [79, { file: 'test/cli/process.test.ts', says: 'E_WRITE when the disk is full' }],
  [80, { file: 'test/cli/badInputs.test.ts', says: 'W_SAME_FILE' }],
  [88, { file: 'test/core/log/freshness.test.ts', says: 'holds readings for an uneven number of rows' }],
  [89, { file: 'test/core/log/spellings.test.ts', says: 'reads none wrongly without saying that it guessed' }],
  [92, { file: 'test/cli/leftBehind.test.ts', says: 'a folder that cannot be written' }],
]);
