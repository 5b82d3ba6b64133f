import { type CheckedLog, newTrial, parseTrial, resolveTrial } from '@pullproof/core';
import { describe, expect, test } from 'vitest';
import { parseDocument } from 'yaml';
import { filledIn } from './filledIn.js';

function checked(path: string, channels: CheckedLog['channels'] = []): CheckedLog {
  return {
    path,
    dialect: { delimiter: ';', decimal: ',', encoding: 'utf-8', evidence: '' },
    rows: 3000,
    rowsDropped: 0,
    durationS: 60,
    channels,
    stretches: [{ kind: 'pull', startS: 3.2, endS: 9.9, fromRpm: 2000, toRpm: 6500, firstRow: 1, lastRow: 9, gear: 3, evidence: '' }],
    findings: [],
  };
}

function channel(name: string, quantity: string | null, unit = ''): CheckedLog['channels'][number] {
  return { name, quantity, unit, standing: 'recognised', evidence: 'the words in its name', refreshS: null, missing: 0 };
}

const logs = [
  checked('base-a.csv', [channel('Engine speed', 'engine-speed', 'rpm'), channel('Widget "7"', null, 'kPa')]),
  checked('base-b.csv'),
  checked('cooler_1.csv'),
];

describe('a new trial file', () => {
  const text = newTrial(logs);

  test('is YAML whose only faults are the marks', () => {
    expect(parseDocument(text).errors).toEqual([]);
    expect(() => parseTrial(text, 'trial.yaml')).toThrow(/FILL IN.*\[E_TRIAL_FILL_IN\]/);
  });

  test('becomes a trial by filling in the marks alone', () => {
    const file = parseTrial(filledIn(text), 'trial.yaml');
    expect(file.setups.map(({ name, runs }) => [name, runs?.map(({ log }) => log)])).toEqual([
      ['base', ['base-a.csv', 'base-b.csv']],
      ['cooler', ['cooler_1.csv']],
    ]);
    expect(file.title).toBe('base against cooler');
    const { setups } = resolveTrial(file);
    expect(setups[0]!.runs[0]!.ledger.map(({ item, standing }) => [item, standing])).toEqual([
      ['car', 'entered'],
      ['driver', 'entered'],
      ['cargo', 'entered'],
      ['fuel', 'assumed'], // its density is
    ]);
  });

  test('becomes a trial by taking the marked lines out, too', () => {
    const without = text
      .split('\n')
      .filter((line) => !line.includes(': FILL IN'))
      .filter((line) => !/^\s*(weighed|air|car):$/.test(line))
      .join('\n');
    const { findings } = resolveTrial(parseTrial(without, 'trial.yaml'));
    expect(findings.map(({ code }) => code)).toContain('ASSUMED_CAR_MASS');
  });

  test('shows what was recognised with its evidence, and lists the unknown columns', () => {
    expect(text).toContain('#   "Engine speed" is engine-speed, rpm (the words in its name)');
    expect(text).toContain('#   "Widget \\"7\\"": QUANTITY kPa');
    expect(text).toContain('one full-load pull: 3.2–9.9 s');
    expect(text).toContain('columns parted by ";", decimals by ","');
  });

  test('an uncommented unknown column works', () => {
    const lines = filledIn(text)
      .replace('        # channels:', '        channels:')
      .replace('        #   "Widget \\"7\\"": QUANTITY kPa', '          "Widget \\"7\\"": fuel-pressure kPa gauge');
    expect([...parseTrial(lines, 'trial.yaml').setups[0]!.runs![0]!.channels!]).toEqual([['Widget "7"', 'fuel-pressure kPa gauge']]);
  });

  test('hostile names stay inert: no line of theirs is read, and a path comes back as it was', () => {
    const path = 'a"\n  evil: 1 # \u202e\u{e0001}.csv';
    const hostile = newTrial([
      checked(path, [channel('x\ncar: { driver: 0 kg }\u001b[31m', null), channel('y\r\n', 'load', 'k\nPa')]),
      checked('b.csv'),
    ]);
    expect(hostile).not.toMatch(/[\u001b\u202e\r]/);
    expect(hostile.split('\n').filter((line) => /^\s*(evil|car: \{)/.test(line))).toEqual([]);
    const document = parseDocument(hostile).toJS() as { setups: { runs: { log: string }[] }[] };
    expect(document.setups[0]!.runs[0]!.log).toBe(path);
  });

  test('what was stated about the form of the logs is stated again', () => {
    const reading = {
      delimiter: '\t',
      decimal: ',',
      encoding: 'windows-1252',
      timeUnit: 'ms',
      rateHz: 12.5,
      table: 2,
      maxGapS: 0.5,
    } as const;
    const { setups } = resolveTrial(parseTrial(filledIn(newTrial(logs, { reading })), 'trial.yaml'));
    for (const run of setups.flatMap(({ runs }) => runs)) expect(run.reading).toEqual(reading);
  });

  test('one log alone: a second setup waits as a comment', () => {
    const alone = newTrial([checked('only.csv')]);
    expect(alone).toContain('# - name: after the change');
    expect(parseTrial(filledIn(alone), 'trial.yaml').setups).toHaveLength(1);
  });

  test('a log that could not be read is listed, not lost', () => {
    expect(newTrial([{ ...checked('bad.csv'), dialect: null }])).toContain('could not be read');
  });
});
