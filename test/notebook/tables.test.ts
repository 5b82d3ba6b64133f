import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { type Cell, frame, frameNames, saveCsv, toCsv } from '@pullproof/notebook';
import Papa from 'papaparse';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { cellText } from '../../packages/notebook/src/cell.js';
import { tableHtml } from '../../packages/notebook/src/tableHtml.js';

const hostileNames = [
  'shape',
  'values',
  'columns',
  'index',
  'print',
  'iloc',
  'head',
  'constructor',
  'toString',
  '__proto__',
  '$data',
  '',
  'rpm',
  'rpm',
];

describe('columns of a frame', () => {
  const { DataFrame } = createRequire(import.meta.url)('danfojs') as { DataFrame: { prototype: object } };

  test('no name hides a part of the frame, and none is there twice', () => {
    const names = frameNames(hostileNames, DataFrame.prototype);
    expect(new Set(names).size).toBe(hostileNames.length);
    expect(names.filter((name) => name in DataFrame.prototype || /^\$\w+$/.test(name) || name === '')).toEqual([]);
    expect(names.slice(-2)).toEqual(['rpm', 'rpm 2']);
    expect(names[0]).toBe('shape column');
  });

  test('a name that an alias would take stays its own', () => {
    expect(new Set(frameNames(['shape', 'shape column'], DataFrame.prototype)).size).toBe(2);
  });

  test('a frame of such columns works: it sorts, cuts and keeps every value', () => {
    const rows = [hostileNames.map((_, at) => at + 0.25), hostileNames.map((_, at) => 100 - at)];
    const made = frame({ columns: hostileNames, rows });
    expect(made.shape).toEqual([2, hostileNames.length]);
    expect(made.values).toEqual(rows);
    expect(made.sortValues('shape column', { ascending: false }).values).toEqual([rows[1], rows[0]]);
    expect(made.head(1).values).toEqual([rows[0]]);
  });

  test('numbers keep double precision: 36000.02 is not representable in single precision', () => {
    // Source: IEEE 754; Math.fround(36000.02) is 36000.01953125.
    expect(Math.fround(36000.02)).not.toBe(36000.02);
    expect(frame([{ power: 36000.02 }]).sortValues('power').values).toEqual([[36000.02]]);
  });

  test('the rows that it is given are not changed', () => {
    const rows: Cell[][] = [[2], [1]];
    frame({ columns: ['a'], rows }).sortValues('a');
    expect(rows).toEqual([[2], [1]]);
  });
});

describe('cells', () => {
  test.each([
    [0.05, '0.05'],
    [4246, '4,246'],
    [1.23456789, '1.2346'],
    [-3, '−3'],
    [100000.4, '100,000'],
    [Number.NaN, '–'],
    [null, '–'],
    ['text', 'text'],
    [true, 'true'],
  ])('%s is shown as %s', (cell, text) => expect(cellText(cell)).toBe(text));
});

describe('a table in a page', () => {
  const attack = '<img src=x onerror=alert(1)>"\'</td><script>alert(2)</script>\u202e';
  const markup = tableHtml(
    {
      columns: [attack, 'b'],
      rows: [
        [attack, 1],
        [null, 2],
      ],
    },
    { caption: attack },
  ).markup;

  test('names, cells and caption are inert', () => {
    expect(markup).not.toContain('<img');
    expect(markup).not.toContain('<script');
    expect(markup).not.toContain('\u202e');
    expect(markup.match(/&lt;img src=x/g)).toHaveLength(3);
  });

  test('what is cut is said', () => {
    const rows = Array.from({ length: 7 }, (_, row) => [row]);
    expect(tableHtml({ columns: ['a'], rows }, { most: 3 }).markup).toContain('4 further rows are not shown');
    expect(tableHtml({ columns: ['x'.repeat(10_000)], rows }).markup.length).toBeLessThan(3_000);
  });
});

describe('a table as CSV', () => {
  const rows = [
    { name: 'plain', value: 36000.02 },
    { name: '=HYPERLINK("x")', value: -1e-7 },
    { name: '\t+1', value: Number.NaN },
    { name: 'a "quoted", name\r\nin two lines', value: null },
    { name: ' @x', value: 0.1 + 0.2 },
  ];

  test('papaparse reads it back: every digit, text that no spreadsheet runs', () => {
    const text = toCsv(rows);
    const { data, errors } = Papa.parse<string[]>(text, { delimiter: ',', newline: '\r\n', skipEmptyLines: true });
    expect(errors).toEqual([]);
    expect(data[0]).toEqual(['name', 'value']);
    expect(data.slice(1).map(([, value]) => (value === '' ? null : Number(value)))).toEqual([36000.02, -1e-7, null, null, 0.1 + 0.2]);
    expect(data.slice(1).map(([name]) => name)).toEqual([
      'plain',
      '\'=HYPERLINK("x")',
      "'\t+1",
      'a "quoted", name\r\nin two lines',
      "' @x",
    ]);
    expect(data.slice(1).every(([name]) => !/^\s*[=+\-@]/.test(name!))).toBe(true);
  });

  test('a frame gives the same text as its rows', () => expect(toCsv(frame(rows.slice(0, 2)))).toBe(toCsv(rows.slice(0, 2))));

  let folder: string;
  beforeAll(() => {
    folder = mkdtempSync(join(tmpdir(), 'pullproof-notebook-'));
  });
  afterAll(() => rmSync(folder, { recursive: true, force: true }));

  test('a file is written whole, and written again with the same columns', () => {
    const file = join(folder, 'new/table.csv');
    expect(saveCsv(rows, file)).toBe(5);
    expect(readFileSync(file, 'utf8')).toBe(toCsv(rows));
    expect(saveCsv(rows.slice(0, 1), file)).toBe(1);
    expect(readFileSync(file, 'utf8')).toBe(toCsv(rows.slice(0, 1)));
  });

  test('a log that bears the name is not lost', () => {
    const file = join(folder, 'log.csv');
    writeFileSync(file, 'Time (s),Engine speed (rpm)\n0,900\n');
    expect(() => saveCsv(rows, file)).toThrow('E_OUTPUT_PATH');
    expect(readFileSync(file, 'utf8')).toContain('Engine speed');
    expect(() => saveCsv(rows, folder)).toThrow('E_OUTPUT_PATH');
    expect(() => saveCsv(rows, join(folder, 'table.txt'))).toThrow('E_OUTPUT_PATH');
  });
});
