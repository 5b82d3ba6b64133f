import { readFileSync } from 'node:fs';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, test } from 'vitest';
import { folderWith, pullproof } from './commandLine.js';

const sample = (name: string): string => fileURLToPath(new URL(`../../sample-logs/${name}`, import.meta.url));

describe('check: is this log fit to send', () => {
  test('the terminal says what it is fit for and what to log next', async () => {
    const { exit, out } = await pullproof(['check', sample('base-north.csv')]);
    expect(exit).toBe(0);
    expect(out).toContain('for pull work: fit.');
    expect(out).toContain('for idle work: fit with gaps.');
    expect(out).toContain('log next: Half a minute of idle');
    expect(out).toContain('load map:');
  });

  test('--report writes one page with every log, a failed one too; the same input gives the same bytes', async () => {
    const folder = folderWith({ 'empty.csv': '', '<b>odd.csv': readFileSync(sample('base-south.csv')) });
    const args = ['check', '<b>odd.csv', 'empty.csv', '--report', 'check.html'];
    expect((await pullproof(args, { cwd: folder })).exit).toBe(1);
    const page = readFileSync(path.join(folder, 'check.html'), 'utf8');
    expect(page).toContain('&lt;b&gt;odd.csv');
    expect(page).not.toContain('<b>odd.csv');
    expect(page).toContain('Full-load pulls:');
    expect(page).toContain('Cells of engine speed and load that were visited');
    expect(page).toContain('It could not be read.');
    expect(page).not.toMatch(/>NaN|undefined</);
    await pullproof(args, { cwd: folder });
    expect(readFileSync(path.join(folder, 'check.html'), 'utf8')).toBe(page);
  });
});
