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

  test('a log is shown in the units that it writes its pressure in', async () => {
    const [head, ...rows] = readFileSync(sample('base-north.csv'), 'utf8').trimEnd().split('\n');
    const at = head!.split(',').indexOf('Manifold pressure (kPa abs)');
    const inPsi = rows.map((row) =>
      row
        .split(',')
        .map((cell, column) => (column === at && cell !== '' ? (Number(cell) / 6.894757).toFixed(3) : cell))
        .join(','),
    );
    const folder = folderWith({
      'psi.csv': `${[head!.replace('kPa abs', 'psi abs'), ...inPsi].join('\n')}\n`,
      'kpa.csv': readFileSync(sample('base-north.csv')),
    });
    const [psi, kpa] = await Promise.all(
      ['psi', 'kpa'].map(async (name) => {
        const { out } = await pullproof(['check', `${name}.csv`, '--report', `${name}.html`], { cwd: folder });
        return { out, page: readFileSync(path.join(folder, `${name}.html`), 'utf8') };
      }),
    );
    const idle = (out: string): string => /warm idle at [^,]*(?:, [^,]*){0,1} (?:psi|kPa)/.exec(out)?.[0] ?? '';
    const [seenPsi, seenKpa] = [psi!, kpa!].map(({ out }) => Number(/([\d.]+) (?:psi|kPa)$/.exec(idle(out.replaceAll(/\s+/g, ' ')))![1]));
    // Source: NIST SP 811 (2008), Appendix B.8: 1 psi = 6.894 757 E+03 Pa.
    expect(Math.abs(seenPsi! * 6.894757 - seenKpa!)).toBeLessThan(0.4);
    expect(psi!.page).toContain('Manifold pressure, psi');
    expect(psi!.page).not.toContain('Manifold pressure, kPa');
    expect(kpa!.page).toContain('Manifold pressure, kPa absolute');
  });
});
