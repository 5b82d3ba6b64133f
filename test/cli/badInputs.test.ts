import { describe, expect, it } from 'vitest';
import type { BadInput } from '../core/log/badInputs/entry.js';
import { badInputs } from '../core/log/badInputs.js';
import { folderWith, pullproof } from './commandLine.js';

/** The options of a fixture as a person would type them; null where only a trial file can say it. */
function flags({ options = {} }: BadInput): string[] | null {
  if (options.channels !== undefined || options.only !== undefined) return null;
  const { decimal, rateHz, table } = options;
  return [
    ...(decimal === undefined ? [] : ['--decimal', decimal === ',' ? 'comma' : 'point']),
    ...(rateHz === undefined ? [] : ['--rate', String(rateHz)]),
    ...(table === undefined ? [] : ['--table', String(table)]),
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
