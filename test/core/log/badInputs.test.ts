import { readFileSync } from 'node:fs';
import { PullproofError, readLog } from '@pullproof/core';
import { describe, expect, it } from 'vitest';
import { badInputs, heldElsewhere } from './badInputs.js';

describe('the table of bad inputs', () => {
  it('has every line from 1 to 92', () => {
    const held = new Set([...badInputs.map(({ id }) => id), ...heldElsewhere.keys()]);
    const absent = Array.from({ length: 92 }, (_, i) => i + 1).filter((id) => !held.has(id));
    expect(absent).toEqual([]);
  });

  it.each([...heldElsewhere])('line %i is held by a test elsewhere', (_, { file, says }) => {
    expect(readFileSync(file, 'utf8')).toContain(says);
  });

  it.each(badInputs.map((entry) => [`${entry.id} ${entry.input}: ${entry.outcome}`, entry] as const))('%s', (_, entry) => {
    const read = () => readLog(entry.bytes(), { path: 'fixture.csv', ...entry.options });
    if (entry.outcome.startsWith('E_')) {
      let thrown: unknown;
      try {
        read();
      } catch (error) {
        thrown = error;
      }
      expect(thrown).toBeInstanceOf(PullproofError);
      const error = thrown as PullproofError;
      expect(error.code).toBe(entry.outcome);
      expect(error.where.path).toBe('fixture.csv');
      if (entry.place !== undefined) expect(error.where).toMatchObject(entry.place);
      expect(error.fix.length).toBeGreaterThan(10);
      expect(entry.exit).toBe(1);
      return;
    }
    const log = read();
    expect(entry.exit).toBe(0);
    if (entry.outcome === 'SILENT') expect(log.findings).toEqual([]);
    else {
      const finding = log.findings.find(({ code }) => code === entry.outcome);
      expect(finding, JSON.stringify(log.findings)).toBeDefined();
      expect(finding!.severity).toBe('warning');
      expect(finding!.fix.length).toBeGreaterThan(5);
      expect(finding!.where.path).toBe('fixture.csv');
      if (entry.place !== undefined) expect(finding!.where).toMatchObject(entry.place);
      if (entry.count !== undefined) expect(finding!.count).toBe(entry.count);
    }
    if (entry.holds !== undefined) expect(entry.holds(log)).toBe(true);
  });
});
