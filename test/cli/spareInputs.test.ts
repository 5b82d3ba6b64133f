import { linkSync, mkdirSync, readFileSync, symlinkSync } from 'node:fs';
import path from 'node:path';
import { sampleLogs } from '@pullproof/simulation';
import { beforeEach, describe, expect, test } from 'vitest';
import { folderWith, pullproof } from './commandLine.js';

const files = new Map([...sampleLogs()]);
let cwd = '';
beforeEach(() => {
  cwd = folderWith(files);
  mkdirSync(path.join(cwd, 'results'));
  linkSync(path.join(cwd, 'base-north.csv'), path.join(cwd, 'second-name.csv'));
  symlinkSync('.', path.join(cwd, 'here'));
});

describe('an output that is an input of the same run', () => {
  test.each([
    ['compare', 'trial.yaml', '--json', 'trial.yaml'],
    ['compare', 'trial.yaml', '--report', 'base-north.csv'],
    ['compare', 'trial.yaml', '--fuel-table', 'results/../base-south.csv'],
    ['compare', 'trial.yaml', '--json', 'second-name.csv'],
    ['compare', 'trial.yaml', '--json', 'here/base-north.csv'],
    ['compare', 'trial.yaml', '--json', 'pass-base.csv'],
    ['forecast', 'trial.yaml', '--json', 'pass-base.csv'],
    ['reconcile', 'trial.yaml', '--report', 'pass-base.csv'],
    ['plan', 'trial.yaml', '--json', 'trial.yaml'],
    ['plan', 'trial.yaml', '--json', 'base-north.csv'],
    ['check', 'base-north.csv', '--json', 'base-north.csv'],
    ['check', 'base-north.csv', '--report', 'second-name.csv'],
    ['check', 'base-*.csv', '--summary', 'base-south.csv'],
  ])('%s %s %s %s is refused, with --force as well, and nothing is lost', async (...words) => {
    const { exit, out, err } = await pullproof([...words, '--force'], { cwd });
    expect([exit, out]).toEqual([1, '']);
    expect(err).toMatch(/^error [^\n]*is read by the same run[^\n]*\[E_OUTPUT_PATH\]\n$/);
    for (const [name, text] of files) expect(readFileSync(path.join(cwd, name), 'utf8'), name).toBe(text);
  });

  test('an error told as JSON replaces no file of another, whatever failed', async () => {
    const broken = folderWith(new Map([...files, ['broken.yaml', 'trial: 1\nsetups: [']]));
    const { exit, err } = await pullproof(['compare', 'broken.yaml', '--json', 'base-north.csv', '--force'], { cwd: broken });
    expect(exit).toBe(1);
    expect(err).toContain('[E_TRIAL_SYNTAX]');
    expect(readFileSync(path.join(broken, 'base-north.csv'), 'utf8')).toBe(files.get('base-north.csv'));
  });

  test.each([
    ['compare', 'trial.yaml', '--report', '-'],
    ['compare', 'trial.yaml', '--fuel-table', '-'],
    ['check', 'base-north.csv', '--summary', '-'],
    ['check', 'base-north.csv', '--report', '-'],
  ])('%s %s %s %s: only JSON goes to standard output', async (...words) => {
    const { exit, err } = await pullproof(words, { cwd });
    expect([exit, err]).toEqual([1, expect.stringMatching(/Only JSON goes to standard output\..*--json -.*\[E_OUTPUT_PATH\]/)]);
  });
});

describe('the wrong file', () => {
  test('a log that a trial names and that is not there is told at its line', async () => {
    const trial = files.get('trial.yaml')!.replace('log: base-north.csv', 'log: base-nort.csv');
    const line = trial.split('\n').findIndex((one) => one.includes('base-nort.csv')) + 1;
    const folder = folderWith(new Map([...files, ['miss.yaml', trial]]));
    const { exit, err } = await pullproof(['compare', 'miss.yaml'], { cwd: folder });
    expect([exit, err]).toEqual([
      1,
      expect.stringContaining(`error miss.yaml line ${line}: This names base-nort.csv: there is no such file.`),
    ]);
    const alone = await pullproof(['check', 'nope.csv'], { cwd: folder });
    expect(alone.err).toBe('error nope.csv: There is no such file. Check the path. [E_INPUT]\n');
  });

  test('a trial where a log belongs, and a log where a trial belongs', async () => {
    const check = await pullproof(['check', 'trial.yaml'], { cwd });
    expect([check.exit, check.err]).toEqual([1, expect.stringMatching(/looks like a trial file, .* Use compare\./)]);
    for (const command of ['compare', 'plan', 'forecast']) {
      const { exit, err } = await pullproof([command, 'base-north.csv'], { cwd });
      expect([exit, err]).toEqual([1, expect.stringMatching(/looks like a log, not like a trial file\./)]);
      expect(err).toContain('Give the logs of both setups: compare before.csv after.csv.');
    }
    const broken = folderWith({ 'trial.yaml': 'trial: 1\ncar: [a, b, c\n' });
    expect((await pullproof(['compare', 'trial.yaml'], { cwd: broken })).err).not.toContain('looks like a log');
  });
});
