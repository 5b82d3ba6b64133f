import { readdirSync, readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { dirname, join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { settleDialect } from '../../../packages/core/src/log/table/dialect.js';
import { TextRows } from '../../../packages/core/src/log/table/textRows.js';
import { rewindable } from '../../../packages/core/src/log/text/bytes.js';
import { readHead } from '../../../packages/core/src/log/text/headText.js';

// Source: csv-spectrum 2.0.0 (npm), the acid test of CSV readers: every file beside what it holds, as JSON.
const folder = dirname(createRequire(import.meta.url).resolve('csv-spectrum'));
const names = readdirSync(join(folder, 'csvs')).map((file) => file.replace(/\.csv$/, ''));

/** The records of a file by the reader's own steps: encoding, dialect settled by evidence, rows taken apart by it. */
function recordsOf(bytes: Uint8Array): string[][] {
  const head = readHead(rewindable(bytes), undefined, {});
  const { delimiter, quote, width } = settleDialect(head.text.split(/\r\n?|\n/), {}, {});
  const rows = new TextRows(delimiter, 1, width, quote);
  const records = [...rows.read(head.text), ...rows.finish()];
  return records.map(({ cells }) => cells);
}

describe('csv-spectrum', () => {
  it('is there in full', () => expect(names).toHaveLength(12));

  it.each(names)('%s', (name) => {
    const [header, ...rows] = recordsOf(readFileSync(join(folder, 'csvs', `${name}.csv`)));
    const read = rows.map((row) => Object.fromEntries(header!.map((key, i) => [key, row[i]])));
    const wanted = JSON.parse(readFileSync(join(folder, 'json', `${name}.json`), 'utf8'));
    if (name === 'location_coordinates') {
      // Its JSON is one object and another row than its CSV, with characters lost in both: the fields that it shares are checked.
      expect(header).toEqual(['Contact Phone Number', 'Location Coordinates', 'Cities', 'Counties']);
      expect(read).toHaveLength(1);
      expect(read[0]!['Location Coordinates']).toBe('37\ufffd36\'37.8"N 121\ufffd2\'17.9"W');
      return;
    }
    expect(read).toEqual(wanted);
  });
});
