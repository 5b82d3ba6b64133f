import { readLog } from '@pullproof/core';
import fc from 'fast-check';
import Papa from 'papaparse';
import { describe, expect, it } from 'vitest';
import { utf8 } from './fixture.js';
import { chunked } from './randomLog.js';

/** A number as loggers and people write it, digits far beyond double precision included. */
const numberTexts: fc.Arbitrary<string> = fc
  .tuple(
    fc.constantFrom('', '-', '+'),
    fc.stringMatching(/^\d{0,22}$/),
    fc.option(fc.stringMatching(/^\d{0,22}$/)),
    fc.option(fc.tuple(fc.constantFrom('e', 'E', 'e-', 'e+'), fc.integer({ min: 0, max: 330 })), { freq: 6 }),
  )
  .filter(([, whole, fraction]) => whole !== '' || (fraction !== null && fraction !== ''))
  .map(
    ([sign, whole, fraction, power]) => `${sign}${whole}${fraction === null ? '' : `.${fraction}`}${power === null ? '' : power.join('')}`,
  );

const short: fc.Arbitrary<string> = fc
  .tuple(fc.integer({ min: -999_999, max: 999_999 }), fc.integer({ min: 0, max: 6 }))
  .map(([value, places]) => (value / 10 ** places).toFixed(places));

const values = (cells: readonly (readonly string[])[], decimal: '.' | ',', chunk: number): Float64Array[] => {
  const delimiter = decimal === ',' ? ';' : ',';
  const width = cells[0]!.length;
  const header = ['Time (s)', ...Array.from({ length: width }, (_, i) => `x${i}`)].join(delimiter);
  const lines = cells.map((row, i) => [`${i}.00`, ...row].map((cell) => (decimal === ',' ? cell.replace('.', ',') : cell)).join(delimiter));
  const text = `${[header, ...lines].join('\n')}\n`;
  const log = readLog(chunked(utf8(text), chunk), { path: 'numbers.csv', decimal, delimiter });
  return log.channels.slice(1).map((channel) => channel.values);
};

/** What papaparse and Number() make of the same cells; numbers out of range count as missing. */
const reference = (cells: readonly (readonly string[])[]): number[][] => {
  const parsed = Papa.parse<string[]>(cells.map((row) => row.join(',')).join('\n'), { delimiter: ',', newline: '\n' }).data;
  return cells[0]!.map((_, c) => parsed.map((row) => (Number.isFinite(Number(row[c])) ? Number(row[c]) : Number.NaN)));
};

describe('numbers', () => {
  it.each([
    ['.', 0],
    [',', 0],
    ['.', 37],
  ] as const)('are bit for bit what papaparse and Number() give (decimal %s, chunks of %i)', (decimal, chunk) => {
    fc.assert(
      fc.property(fc.array(fc.tuple(numberTexts, short, numberTexts), { minLength: 2, maxLength: 30 }), (cells) => {
        const read = values(cells, decimal, chunk);
        const wanted = reference(cells);
        for (const [c, column] of wanted.entries()) {
          for (const [i, value] of column.entries()) {
            if (!Object.is(read[c]![i], value)) throw new Error(`${cells[i]![c]}: ${read[c]![i]} for ${value}`);
          }
        }
      }),
      { numRuns: 3000, seed: 7 },
    );
  });

  // Source: cases known to trip readers that round twice: 2^53 + 1, halfway cases, the least normal and subnormal numbers, 17 digits (IEEE 754-2019, §3.3; D. Gay 1990).
  it.each([
    '9007199254740993',
    '9007199254740992.5',
    '2.2250738585072011e-308',
    '4.9e-324',
    '0.1',
    '0.30000000000000004',
    '1.7976931348623157e308',
    '123456789012345.6',
    '8.41',
    '1e23',
    '5e-324',
    '-0',
    '-0.0',
  ])('reads %s exactly', (text) => {
    const [column] = values([[text], [text]], '.', 0);
    expect(Object.is(column![0], Number(text))).toBe(true);
  });
});
