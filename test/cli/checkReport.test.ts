import { readFileSync } from 'node:fs';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, test } from 'vitest';
import { folderWith, pullproof } from './commandLine.js';

const sample = (name: string): string => fileURLToPath(new URL(`../../sample-logs/${name}`, import.meta.url));

describe('check: is this log fit to send', () => {
  test('the terminal says what it is fit for and what to log next', async () => {
    const cwd = path.dirname(sample('base-north.csv'));
    const { exit, out } = await pullproof(['check', 'base-north.csv'], { cwd });
    expect(exit).toBe(0);
    const [head, ...lines] = out.split('\n');
    expect(head).toMatch(/base-north\.csv: good for pulls; idle and cruise have gaps$/);
    expect(lines[0]).toBe('  pulls   good  3 at full throttle, 2,549 to 6,547 rpm, 10 s each');
    expect(lines[1]).toBe('  idle    gaps  12 s of warm idle; missing: 30 s of warm idle, fuel trims');
    expect(out.replaceAll(/\s+/g, ' ')).toContain('Next time: log fuel trims. Idle for 30 s: engine warm, accessories off, car stopped.');
    expect(lines.length).toBeLessThanOrEqual(30);
    expect(out.split('base-north.csv')).toHaveLength(2);
    const { out: all } = await pullproof(['check', sample('base-north.csv'), '--all']);
    expect(all).toContain('load map:');
    expect(all.split('\n').length).toBeGreaterThan(40);
  });

  test('several logs get one verdict first, with pulls by gear; a log keeps to 30 lines', async () => {
    const { out } = await pullproof(['check', sample('base-north.csv'), sample('base-south.csv')]);
    expect(out.split('\n')[0]).toBe('2 logs together: good for pulls; idle and cruise have gaps');
    expect(out).toMatch(/Pulls by gear: 6 at \d+ rpm per km\/h\./);
    expect(out).toContain('To compare two setups: there are enough pulls in one gear.');
    expect(out.match(/Next time/g)).toHaveLength(1);
    const { out: json } = await pullproof(['check', sample('base-north.csv'), sample('base-south.csv'), '--json', '-']);
    expect(JSON.parse(json).together).toMatchObject({ logs: 2, gears: [{ pulls: 6, logs: 2 }], missingForComparison: [] });
  });

  test('--report writes one page with every log, a failed one too; the same input gives the same bytes', async () => {
    const folder = folderWith({ 'empty.csv': '', '<b>odd.csv': readFileSync(sample('base-south.csv')) });
    const args = ['check', '<b>odd.csv', 'empty.csv', '--report', 'check.html'];
    expect((await pullproof(args, { cwd: folder })).exit).toBe(1);
    const page = readFileSync(path.join(folder, 'check.html'), 'utf8');
    expect(page).toContain('&lt;b&gt;odd.csv');
    expect(page).not.toContain('<b>odd.csv');
    expect(page).toContain('<b>pulls:</b>');
    expect(page).toContain('3 at full throttle, ');
    expect(page).toContain('Where the engine was: cells of rpm and load visited');
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
        const { out } = await pullproof(['check', `${name}.csv`, '--all', '--report', `${name}.html`], { cwd: folder });
        return { out, page: readFileSync(path.join(folder, `${name}.html`), 'utf8') };
      }),
    );
    const idle = (out: string): string => /warm idle at [^,]*(?:, [^,]*){0,1} (?:psi|kPa) abs/.exec(out)?.[0] ?? '';
    const [seenPsi, seenKpa] = [psi!, kpa!].map(({ out }) =>
      Number(/([\d.]+) (?:psi|kPa) abs$/.exec(idle(out.replaceAll(/\s+/g, ' ')))![1]),
    );
    // Source: NIST SP 811 (2008), Appendix B.8: 1 psi = 6.894 757 E+03 Pa.
    expect(Math.abs(seenPsi! * 6.894757 - seenKpa!)).toBeLessThan(0.4);
    expect(psi!.page).toContain('Manifold pressure, psi');
    expect(psi!.page).not.toContain('Manifold pressure, kPa');
    expect(kpa!.page).toContain('Manifold pressure, kPa absolute');
  });
});
