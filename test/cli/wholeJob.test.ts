import { mkdirSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import type { CheckResult, TrialResult } from '@pullproof/core';
import { fadingGain, noiseOnly25Hz } from '@pullproof/simulation';
import { beforeAll, describe, expect, test } from 'vitest';
import { filledIn } from '../core/trial/filledIn.js';
import { folderWith, pullproof } from './commandLine.js';

// Simulated logs of an invented car, whose true gain is 3 % of power at every engine speed.
const simulated = noiseOnly25Hz(7, { gainShare: 0.03 });

describe('compare', () => {
  let cwd = '';
  beforeAll(() => {
    cwd = folderWith(new Map([...simulated.logs, ['trial.yaml', simulated.trial]]));
  });

  test('prints the answer, and writes report and JSON', async () => {
    const { exit, out, err } = await pullproof(['compare', 'trial.yaml', '--report', 'out/report.html', '--json', 'out/result.json'], {
      cwd,
    });
    expect(err).toBe('');
    expect(exit).toBe(0);
    const result = JSON.parse(readFileSync(path.join(cwd, 'out/result.json'), 'utf8')) as TrialResult;
    expect(result.schema).toBe('pullproof/result@1');
    expect(result.overall[0]!.verdict).toBe('gain');
    expect(out).toMatch(/^ {2}GAIN: \d/m);
    expect(out).toContain('out/report.html');
    expect(out).toContain('gained at the wheels; shaded: margin');
    const report = readFileSync(path.join(cwd, 'out/report.html'), 'utf8');
    expect(report.startsWith('<!doctype html>')).toBe(true);
    expect(readdirSync(path.join(cwd, 'out')).sort()).toEqual(['report.html', 'result.json']);
  });

  test('works twice: what it wrote it may replace', async () => {
    const again = await pullproof(['compare', 'trial.yaml', '--report', 'out/report.html', '--json', 'out/result.json'], { cwd });
    expect([again.exit, again.err]).toEqual([0, '']);
  });

  test('with --json - nothing but JSON reaches standard output, the same bytes each time, from any folder', async () => {
    const first = await pullproof(['compare', 'trial.yaml', '--json', '-'], { cwd });
    expect([first.exit, first.err]).toEqual([0, '']);
    expect(first.out).toBe(readFileSync(path.join(cwd, 'out/result.json'), 'utf8'));
    const elsewhere = await pullproof(['compare', path.join(cwd, 'trial.yaml'), '--json', '-'], {
      cwd: '/',
      env: { LANG: 'tr_TR.UTF-8', TZ: 'Asia/Kathmandu' },
    });
    const withoutPaths = (text: string) => text.replaceAll(path.join(cwd, 'trial.yaml'), 'trial.yaml');
    expect(withoutPaths(elsewhere.out)).toBe(first.out);
    expect(() => JSON.parse(first.out)).not.toThrow();
  });

  test('a trial on standard input finds its logs from the working folder', async () => {
    const { exit, out } = await pullproof(['compare', '-'], { cwd, stdin: simulated.trial });
    expect(exit).toBe(0);
    expect(out).toContain('gained at the wheels; shaded: margin');
  });

  test('colours only on a terminal, and not against NO_COLOR', async () => {
    const plain = await pullproof(['compare', 'trial.yaml'], { cwd });
    const terminal = await pullproof(['compare', 'trial.yaml'], { cwd, terminal: true });
    const asked = await pullproof(['compare', 'trial.yaml'], { cwd, terminal: true, env: { LANG: 'C.UTF-8', NO_COLOR: '1' } });
    expect(plain.out).not.toContain('\u001b');
    expect(terminal.out).toContain('\u001b[1m');
    expect(asked.out).toBe(plain.out);
    expect(terminal.out.replaceAll(/\u001b\[\d+m/g, '')).toBe(plain.out);
  });

  test('progress is on standard error of a terminal once a second has gone, never in a pipe', async () => {
    const slow = { cwd, tickMs: 1200 };
    expect((await pullproof(['compare', 'trial.yaml'], slow)).err).toBe('');
    const { err, exit } = await pullproof(['compare', 'trial.yaml'], { ...slow, terminal: true });
    expect(exit).toBe(0);
    expect(err).toMatch(/read (before|after)\.csv, working out what is in it/);
    expect(err.endsWith('\r\u001b[K')).toBe(true);
  });

  test('nothing is written where a log cannot be used', async () => {
    const broken = folderWith(new Map([...simulated.logs, ['trial.yaml', simulated.trial], ['after.csv', '']]));
    const { exit, out, err } = await pullproof(['compare', 'trial.yaml', '--report', 'r.html'], { cwd: broken });
    expect([exit, out]).toEqual([1, '']);
    expect(err).toMatch(/^error after\.csv: .*\[E_EMPTY\]\n$/);
    expect(readdirSync(broken)).not.toContain('r.html');
  });

  test('an output that may not be written stops it before the work', async () => {
    writeFileSync(path.join(cwd, 'mine.html'), 'mine');
    const { exit, err } = await pullproof(['compare', 'gone.yaml', '--report', 'mine.html'], { cwd });
    expect(exit).toBe(1);
    expect(err).toContain('[E_WRITE]');
    expect(readFileSync(path.join(cwd, 'mine.html'), 'utf8')).toBe('mine');
  });
});

describe('check', () => {
  test('tells channels, refresh and stretches of each log, and fails if any failed', async () => {
    const cwd = folderWith(simulated.logs);
    const good = await pullproof(['check', 'before.csv', 'after.csv'], { cwd });
    expect([good.exit, good.err]).toEqual([0, '']);
    for (const words of ['before.csv', 'after.csv', 'engine-speed', '25/s', 'pull']) expect(good.out).toContain(words);
    for (const line of good.out.split('\n')) expect(line.length).toBeLessThanOrEqual(80);

    const mixed = await pullproof(['check', 'before.csv', 'gone.csv', 'after.csv', '--json', '-'], { cwd });
    expect(mixed.exit).toBe(1);
    const result = JSON.parse(mixed.out) as CheckResult;
    expect(result.schema).toBe('pullproof/check@1');
    expect(
      result.logs.map(({ path: log, rows, findings }) => [log, rows > 0, findings.map(({ code }) => code).includes('E_INPUT')]),
    ).toEqual([
      ['before.csv', true, false],
      ['gone.csv', false, true],
      ['after.csv', true, false],
    ]);
    expect(result.logs[0]!.stretches.filter(({ kind }) => kind === 'pull')).toHaveLength(3);
    expect(mixed.err).toContain('[E_INPUT]');
  });

  test('reads standard input as -', async () => {
    const { exit, out } = await pullproof(['check', '-', '--json', '-'], { stdin: simulated.logs.get('before.csv')! });
    expect(exit).toBe(0);
    expect((JSON.parse(out) as CheckResult).logs[0]!.path).toBe('-');
  });

  test('what is stated is not guessed', async () => {
    const rows = Array.from({ length: 50 }, (_, i) => `${i * 20};${2000 + 10 * i},5`).join('\n');
    const cwd = folderWith({ 'a.csv': `Time;Engine speed (rpm)\n${rows}\n` });
    const args = [
      'check',
      'a.csv',
      '--json',
      '-',
      '--delimiter',
      'semicolon',
      '--decimal',
      'comma',
      '--time-unit',
      'ms',
      '--encoding',
      'utf-8',
    ];
    const { exit, out } = await pullproof(args, { cwd });
    expect(exit).toBe(0);
    const { dialect, durationS } = (JSON.parse(out) as CheckResult).logs[0]!;
    expect(dialect).toMatchObject({ delimiter: ';', decimal: ',', encoding: 'utf-8' });
    expect(durationS).toBeCloseTo(0.98, 9);
  });
});

describe('new', () => {
  test('a trial file whose marks, and nothing else, have to be filled in for compare', async () => {
    // An invented gain of 8 % that fades; the answers filled in are not this car's, so only the working is judged, not the numbers.
    const { logs } = fadingGain(3);
    const cwd = folderWith(logs);
    mkdirSync(path.join(cwd, 'out'));
    const made = await pullproof(['new', 'before.csv', 'after.csv'], { cwd });
    expect([made.exit, made.err]).toEqual([0, '']);
    writeFileSync(path.join(cwd, 'trial.yaml'), made.out);
    const marked = await pullproof(['compare', 'trial.yaml'], { cwd });
    expect(marked.exit).toBe(1);
    expect(marked.err).toMatch(/car\.weighed\.mass: It is still marked FILL IN\..*\[E_TRIAL_FILL_IN\]/);
    writeFileSync(path.join(cwd, 'trial.yaml'), filledIn(made.out));
    const { exit, out, err } = await pullproof(['compare', 'trial.yaml', '--json', '-'], { cwd });
    expect([exit, err]).toEqual([0, '']);
    const { setups, overall } = JSON.parse(out) as TrialResult;
    expect(setups.map(({ name }) => name)).toEqual(['before', 'after']);
    expect(overall[0]!.sentence).not.toBe('');
  });

  test('--output: paths of the logs start where the file goes, and what its owner wrote is not replaced', async () => {
    const cwd = folderWith(fadingGain(3).logs);
    const args = ['new', 'before.csv', 'after.csv', '--output', 'trials/one/trial.yaml'];
    expect(await pullproof(args, { cwd })).toEqual({ exit: 0, out: '', err: '' });
    expect(readFileSync(path.join(cwd, 'trials/one/trial.yaml'), 'utf8')).toContain('- log: "../../before.csv"');
    const again = await pullproof(args, { cwd });
    expect([again.exit, again.err]).toEqual([1, expect.stringContaining('E_WRITE')]);
  });

  test('a log that cannot be read is told, listed in the file, and exit 1', async () => {
    const { exit, out, err } = await pullproof(['new', 'gone.csv'], { cwd: folderWith({}) });
    expect(exit).toBe(1);
    expect(err).toContain('[E_INPUT]');
    expect(out).toContain('could not be read');
  });
});
