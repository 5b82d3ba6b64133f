import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import type { BadInput } from '../core/log/badInputs/entry.js';
import { badInputs } from '../core/log/badInputs.js';
import { folderWith, pullproof } from './commandLine.js';

/** The options of a fixture as a person would type them; null where only the library can be told. */
function flags({ options = {} }: BadInput): string[] | null {
  if (options.only !== undefined) return null;
  const { decimal, rateHz, table, channels = new Map<string, string>() } = options;
  return [
    ...(decimal === undefined ? [] : ['--decimal', decimal === ',' ? 'comma' : 'point']),
    ...(rateHz === undefined ? [] : ['--rate', String(rateHz)]),
    ...(table === undefined ? [] : ['--table', String(table)]),
    ...[...channels].flatMap(([name, what]) => ['--channel', `${name}=${what}`]),
  ];
}

const walked = badInputs.filter((entry) => entry.libraryOnly !== true && flags(entry) !== null);

describe('the table of bad inputs through the command line', () => {
  it('leaves out no line of the table for good', () => {
    const ids = new Set(walked.map(({ id }) => id));
    expect([...new Set(badInputs.map(({ id }) => id))].filter((id) => !ids.has(id))).toEqual([66]);
  });

  it.each(walked.map((entry) => [`${entry.id} ${entry.input}: ${entry.outcome}`, entry] as const))('%s', async (_, entry) => {
    const cwd = folderWith({ 'fixture.csv': entry.bytes() as Uint8Array });
    const { exit, out } = await pullproof(['check', 'fixture.csv', '--json', '-', ...flags(entry)!], { cwd });
    const { schema, logs } = JSON.parse(out);
    expect(schema).toBe('pullproof/check@1');
    expect(exit).toBe(entry.exit);
    const findings: { code: string; severity: string; count?: number; fix: string; where: { path?: string } }[] = logs[0].findings;
    if (entry.outcome === 'SILENT') {
      expect(findings.filter(({ code }) => /^[EW]_/.test(code))).toEqual([]);
      return;
    }
    const found = findings.find(({ code }) => code === entry.outcome);
    expect(found, JSON.stringify(findings)).toMatchObject({ severity: entry.exit === 1 ? 'error' : 'warning' });
    expect(found!.fix.length).toBeGreaterThan(5);
    expect(found!.where.path).toBe('fixture.csv');
    if (entry.count !== undefined) expect(found!.count).toBe(entry.count);
  });
});

describe('80 the same file as both runs', () => {
  it('W_SAME_FILE, difference exactly 0', async () => {
    const trial = readFileSync('sample-logs/trial.yaml', 'utf8');
    const run = (name: string) =>
      `  - name: ${name}\n    runs: [ { log: a.csv, outing: one, fuel-in-tank: 42 L, air: { temperature: 21 degC, pressure: 98.9 kPa, humidity: 48 % } } ]\n`;
    const same = `${trial.slice(0, trial.indexOf('setups:'))}setups:\n${run('first')}${run('second')}`;
    const cwd = folderWith({ 'same.yaml': same, 'a.csv': readFileSync('sample-logs/base-north.csv') });
    const { exit, out } = await pullproof(['compare', 'same.yaml', '--json', '-'], { cwd });
    expect(exit).toBe(0);
    const result = JSON.parse(out);
    expect(result.findings.map(({ code }: { code: string }) => code)).toContain('W_SAME_FILE');
    const { difference, low, high } = result.comparisons[0].wheelPowerW;
    expect(difference.length).toBeGreaterThan(10);
    for (const values of [difference, low, high])
      expect(new Set(values.filter((value: number | null) => value !== null))).toEqual(new Set([0]));
  });
});
