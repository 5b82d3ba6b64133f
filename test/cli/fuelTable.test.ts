import { execFileSync, spawnSync } from 'node:child_process';
import { readFileSync } from 'node:fs';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import Papa from 'papaparse';
import { describe, expect, test } from 'vitest';
import { folderWith, pullproof } from './commandLine.js';

const trial = fileURLToPath(new URL('../../sample-logs/trial.yaml', import.meta.url));
const office = spawnSync('soffice', ['--version'], { timeout: 60_000 }).status === 0;

const rowsOf = (text: string): string[][] => Papa.parse<string[]>(text.replace(/\r?\n$/, ''), { delimiter: ',' }).data;

async function table(axes: string[] = []): Promise<{ folder: string; text: string }> {
  const folder = folderWith({});
  const ran = await pullproof(['compare', trial, '--fuel-table', 'error.csv', ...axes], { cwd: folder });
  expect(ran.err).toBe('');
  expect(ran.exit).toBe(0);
  return { folder, text: readFileSync(path.join(folder, 'error.csv'), 'utf8') };
}

describe('compare --fuel-table', () => {
  test('one row a visited cell of each setup, titled measured error, with provenance', async () => {
    const { text } = await table();
    const [header, ...rows] = rowsOf(text);
    expect(header!.slice(0, 3)).toEqual(['table', 'setup', 'manifold pressure, absolute from (kPa)']);
    expect(new Set(rows.map((row) => row[1]))).toEqual(new Set(['base', 'large charge cooler', '74 mm pulley']));
    const at = (name: string): number => header!.indexOf(name);
    for (const row of rows) {
      expect(row).toHaveLength(header!.length);
      expect(row[0]).toBe('measured error');
      expect(Number(row[at('readings')])).toBeGreaterThanOrEqual(3);
      expect(Number(row[at('measured error (factor)')])).toBeCloseTo(
        Number(row[at('lambda measured')]) / Number(row[at('lambda commanded')]),
        2,
      );
      expect(row[at('log sha256')]).toMatch(/^[0-9a-f]{64}/);
      expect(row[at('calibration')]).toBe('road 4');
    }
    expect(text).not.toMatch(/new value|NaN|null/i);
  });

  test('its own table is replaced, another file is not', async () => {
    const { folder } = await table();
    expect((await pullproof(['compare', trial, '--fuel-table', 'error.csv'], { cwd: folder })).exit).toBe(0);
    const other = folderWith({ 'mine.csv': 'a,b\n1,2\n' });
    const refused = await pullproof(['compare', trial, '--fuel-table', 'mine.csv'], { cwd: other });
    expect(refused.exit).toBe(1);
    expect(refused.err).toContain('E_WRITE');
    expect(readFileSync(path.join(other, 'mine.csv'), 'utf8')).toBe('a,b\n1,2\n');
  });

  test('other axes; one that was not logged is refused with the reason; a word that names none is wrong usage', async () => {
    expect(rowsOf((await table(['--fuel-axes', 'duty,rpm'])).text)[0]![2]).toBe('injector duty from (%)');
    const folder = folderWith({});
    const missing = await pullproof(['compare', trial, '--fuel-table', 'x.csv', '--fuel-axes', 'airflow'], { cwd: folder });
    expect(missing.exit).toBe(1);
    expect(missing.err).toContain('air flow was not logged');
    expect((await pullproof(['compare', trial, '--fuel-axes', 'weather'], { cwd: folder })).exit).toBe(2);
  });

  test.skipIf(!office)(
    'a spreadsheet opens it with columns and numbers intact (skipped without soffice: apt-get install libreoffice-calc)',
    async () => {
      const { folder, text } = await table();
      const convert = (to: string, from: string, out: string): void => {
        const home = `-env:UserInstallation=file://${path.join(folder, 'profile')}`;
        execFileSync('soffice', [home, '--headless', '--convert-to', to, '--outdir', path.join(folder, out), path.join(folder, from)], {
          timeout: 120_000,
          stdio: 'ignore',
        });
      };
      convert('xlsx', 'error.csv', 'book');
      // 44 comma, 34 quote, 76 UTF-8, from row 1; cells as they are held, not as they are shown.
      convert('csv:Text - txt - csv (StarCalc):44,34,76,1,,0,false,false,false', 'book/error.xlsx', 'back');
      const back = rowsOf(readFileSync(path.join(folder, 'back', 'error.csv'), 'utf8'));
      const sent = rowsOf(text);
      expect(back).toHaveLength(sent.length);
      sent.forEach((row, i) => {
        row.forEach((cell, j) => {
          const number = Number(cell);
          if (i > 0 && cell !== '' && Number.isFinite(number)) expect(Number(back[i]![j])).toBeCloseTo(number, 9);
          else expect(back[i]![j]).toBe(cell);
        });
      });
    },
    240_000,
  );
});
