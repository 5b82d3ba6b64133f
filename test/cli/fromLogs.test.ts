import { readFileSync } from 'node:fs';
import path from 'node:path';
import type { TrialResult } from '@pullproof/core';
import { fadingGain } from '@pullproof/simulation';
import { describe, expect, test } from 'vitest';
import { folderWith, pullproof } from './commandLine.js';

const { logs } = fadingGain(3);
const sample = (name: string) => readFileSync(new URL(`../../sample-logs/${name}`, import.meta.url));

describe('compare from logs alone', () => {
  test('two logs: an answer at once, with everything assumed', async () => {
    const cwd = folderWith(logs);
    const { exit, out, err } = await pullproof(['compare', 'before.csv', 'after.csv'], { cwd });
    expect([exit, err]).toEqual([0, '']);
    const words = out.replaceAll(/\s+/g, ' ');
    expect(words).toContain('CANNOT TELL, because the weather of before.csv and after.csv is missing.');
    expect(words).toContain('Weather of each setup: no verdict without it; margin');
    // It asks for three numbers, and not for another pull.
    expect(words).not.toMatch(/log at least|go back to|more pulls/i);
    expect(out.trimEnd().split('\n').length).toBeLessThanOrEqual(40);
  });

  test('--save writes the trial, which gives the same answer', async () => {
    const cwd = folderWith(logs);
    const stated = [
      '--mass',
      '3478lb out',
      '--weather',
      '72F 29.3inHg 40%',
      '--same-outing',
      '--set',
      'car.final-drive=3.73',
      '--save',
      'trial.yaml',
    ];
    const direct = await pullproof(['compare', 'before.csv', 'after.csv', ...stated, '--json', '-'], { cwd });
    expect([direct.exit, direct.err]).toEqual([0, '']);
    const saved = readFileSync(path.join(cwd, 'trial.yaml'), 'utf8');
    expect(saved).toMatch(/mass: 3478 lb\n {4}driver: out/);
    const again = await pullproof(['compare', 'trial.yaml', '--json', '-'], { cwd });
    const [one, two] = [direct, again].map(({ out }) => JSON.parse(out) as TrialResult);
    expect(two!.overall).toEqual(one!.overall);
    expect(two!.units).toBe('imperial');
    const kept = await pullproof(['compare', 'before.csv', 'after.csv', '--save', 'trial.yaml'], { cwd });
    expect([kept.exit, kept.err]).toEqual([1, expect.stringContaining('E_WRITE')]);
  });

  test('several logs of a setup: by --after, by --setup, by their names', async () => {
    const names = ['base-north.csv', 'base-south.csv', 'cooler-north.csv', 'pulley-south.csv'];
    const cwd = folderWith(Object.fromEntries(names.map((name) => [name, sample(name)])));
    const setupsOf = async (...args: string[]) => {
      const { out, err } = await pullproof(['compare', ...args, '--json', '-'], { cwd });
      expect(err).toBe('');
      return (JSON.parse(out) as TrialResult).setups.map(({ name, runs }) => [name, runs.map(({ log }) => log)]);
    };
    const base = ['base', ['base-north.csv', 'base-south.csv']];
    expect(await setupsOf('base*.csv', '--after', 'cooler-north.csv')).toEqual([base, ['cooler-north', ['cooler-north.csv']]]);
    expect(await setupsOf('--setup', 'stock', 'base*.csv', '--setup', 'small pulley', 'pulley-south.csv')).toEqual([
      ['stock', base[1]],
      ['small pulley', ['pulley-south.csv']],
    ]);
    expect(await setupsOf(...names)).toEqual([base, ['cooler', ['cooler-north.csv']], ['pulley', ['pulley-south.csv']]]);
  }, 60_000);

  test.each([
    [['a.csv', 'b.csv', '--mass', '3478'], 'E_STATED', /needs one/],
    [['a.csv', 'b.csv', '--weather', 'sunny'], 'E_STATED', /72F 29\.92inHg 40%/],
    [['a.csv', 'b.csv', '--weather', '72F', '--weather', '73F', '--weather', '74F'], 'E_STATED', /3 times, for 2 setups/],
    [['a-1.csv', 'a-2.csv', 'a-3.csv'], 'E_STATED', /--after/],
    [['a.csv', 'b.csv', '--units', 'kelvin'], 'E_STATED', /us or metric/],
    [['trial.yaml', '--mass', '3478lb'], 'E_STATED', /go with logs/],
    [[], 'E_STATED', /Nothing to compare/],
  ])('%j is wrong usage: %s', async (args, code, words) => {
    const cwd = folderWith({ 'a.csv': 'x', 'b.csv': 'x', 'trial.yaml': '' });
    const { exit, out, err } = await pullproof(['compare', ...args], { cwd });
    expect([exit, out]).toEqual([2, '']);
    expect(err).toContain(code);
    expect(err).toMatch(words);
  });

  test('units of the logs hold where nothing else chooses them, and --units does', async () => {
    const names = ['base-north.csv', 'pulley-north.csv'];
    const cwd = folderWith(Object.fromEntries(names.map((name) => [name, sample(name)])));
    const unitsOf = async (...args: string[]) => {
      const { out } = await pullproof(['compare', ...names, ...args, '--json', '-'], { cwd });
      return (JSON.parse(out) as TrialResult).units;
    };
    expect([await unitsOf(), await unitsOf('--mass', '3478lb'), await unitsOf('--units', 'us')]).toEqual([
      'metric',
      'imperial',
      'imperial',
    ]);
  }, 60_000);

  test('forecast, reconcile and plan follow --units', async () => {
    const cwd = new URL('../../sample-logs/', import.meta.url).pathname;
    for (const command of ['forecast', 'reconcile', 'plan']) {
      const { exit, out, err } = await pullproof([command, 'trial.yaml', '--units', 'us', '--json', '-'], { cwd });
      expect([exit, err]).toEqual([0, '']);
      expect((JSON.parse(out) as { units: string }).units).toBe('imperial');
      expect((await pullproof([command, 'trial.yaml', '--units', 'x'], { cwd })).exit).toBe(2);
    }
  }, 120_000);
});
