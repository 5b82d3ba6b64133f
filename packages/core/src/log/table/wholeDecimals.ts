import type { Place } from '../../findings/index.js';
import { wholeLines } from '../text/blocks.js';
import { decodeWestern } from '../text/encoding.js';
import { DecimalEvidence } from './decimalMark.js';
import type { SettledDialect } from './dialect.js';
import { splitLine } from './splitLine.js';

/** What every cell of a file says about its decimal mark; for files whose first lines leave it open. */
export function wholeDecimals(chunks: Iterable<Uint8Array>, dialect: SettledDialect, where: Place): DecimalEvidence {
  const evidence = new DecimalEvidence();
  for (const { bytes } of wholeLines(chunks, where)) {
    for (const line of decodeWestern(bytes).split(/\r\n?|\n/)) {
      if (line.startsWith('#')) continue;
      const cells = splitLine(line, dialect.delimiter, dialect.quote);
      if (Math.abs(cells.length - dialect.width) <= 1) for (const cell of cells) evidence.add(cell.replaceAll('â€¯', '\u202f'));
    }
  }
  return evidence;
}
