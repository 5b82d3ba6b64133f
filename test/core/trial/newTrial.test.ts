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
    expect(file.title).toBe('cooler vs base');
    const { setups } = resolveTrial(file);
    expect(setups[0]!.runs[0]!.ledger.map(({ item, standing }) => [item, standing])).toEqual([
      ['car', 'assumed'], // fuel on the scale is
      ['driver', 'entered'],
      ['cargo', 'assumed'],
      ['fuel', 'assumed'], // its density is
    ]);
  });

  test('becomes a trial by taking the marked lines out, too', () => {
    const without = text
      .split('\n')
      .filter((line) => !line.includes(': FILL IN'))
      .filter((line) => !/^\s*(weighed|air|car):/.test(line))
      .join('\n');
    const { findings } = resolveTrial(parseTrial(without, 'trial.yaml'));
    expect(findings.map(({ code }) => code)).toContain('ASSUMED_CAR_MASS');
  });

  test('shows what was recognized once for each kind of log, and lists the unknown columns', () => {
    expect(text).toContain('# Recognized in "base-a.csv":\n#   "Engine speed": engine-speed rpm');
    expect(text).toContain('# channels: { "Widget \\"7\\"": QUANTITY kPa }  # not recognized');
    expect(text).toContain('- log: base-a.csv  # 60 s, one pull: 3.2 to 9.9 s');
    const twice = newTrial([checked('a-1.csv', [channel('rpm', 'engine-speed')]), checked('a-2.csv', [channel('rpm', 'engine-speed')])]);
    expect(twice.match(/# Recognized in/g)).toEqual(['# Recognized in']);
  });

  test('a guess is told with its evidence', () => {
    const guessed = { ...channel('P2', 'fuel-pressure', 'kPa'), standing: 'guessed', evidence: 'the unit' };
    expect(newTrial([checked('a.csv', [guessed])])).toContain('"P2": fuel-pressure kPa (guessed: the unit)');
  });

  test('an uncommented unknown column works', () => {
    const lines = filledIn(text).replace('# channels: {', 'channels: {').replace('QUANTITY kPa', 'fuel-pressure kPa gauge');
    expect([...parseTrial(lines, 'trial.yaml').setups[0]!.runs![0]!.channels!]).toEqual([['Widget "7"', 'fuel-pressure kPa gauge']]);
  });

  test('every commented field can be used', () => {
    const all = filledIn(text)
      .split('\n')
      .map((line) =>
        /^ +# [a-z-]+: /.test(line) && !line.includes('QUANTITY') && !/# (from|to):/.test(line) ? line.replace('# ', '') : line,
      )
      .join('\n');
    const { car, setups } = parseTrial(all, 'trial.yaml');
    expect([car.launch?.rpm?.si, car.injectors?.count, setups[0]!.calibration, setups[0]!.runs![0]!.direction]).toEqual([
      3200,
      6,
      'rev C',
      'north',
    ]);
  });

  test('for six logs of one pull and the weather of two days: at most 15 fields to fill in, below 80 lines, and no assumption about the weather', () => {
    const columns = ['Engine speed (rpm)', 'Road speed (mph)', 'Intake temp (F)'].map((name, i) =>
      channel(name, ['engine-speed', 'road-speed', 'intake-temperature'][i]!, ['rpm', 'mph', '°F'][i]!),
    );
    const six = ['before-1', 'before-2', 'before-3', 'after-1', 'after-2', 'after-3'].map((name) => checked(`${name}.csv`, columns));
    const made = newTrial(six);
    expect(made.match(/^ *[a-z-]+: FILL IN/gm)!.length).toBeLessThanOrEqual(15);
    expect(made.split('\n').length).toBeLessThan(80);
    expect(made).toContain('units: us');
    expect(made).not.toMatch(/such as [^#]*(?:kg|degC|kPa)/);
    const { findings, setups } = resolveTrial(
      parseTrial(filledIn(made).replace(/(name: after[\s\S]*?outing: )day 1/, '$1day 2'), 'trial.yaml'),
    );
    expect(setups.map(({ runs }) => [...new Set(runs.map(({ outing }) => outing))])).toEqual([['day 1'], ['day 2']]);
    expect(findings.map(({ code }) => code).filter((code) => /TEMPERATURE|PRESSURE|HUMIDITY|MASS|TYRE|FUEL_LEVEL$/.test(code))).toEqual([]);
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
    expect(document.setups.flatMap(({ runs }) => runs.map(({ log }) => log))).toContain(path);
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
