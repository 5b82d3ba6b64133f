import { describe, expect, test } from 'vitest';
import { folderWith, pullproof } from './commandLine.js';

describe('wrong usage is exit 2, help is exit 0', () => {
  test.each([
    [[], 2],
    [['bogus'], 2],
    [['compare'], 2],
    [['compare', 'a.yaml', 'b.yaml'], 2],
    [['compare', 'a.yaml', '--json'], 2],
    [['compare', 'a.yaml', '--jsn', 'x'], 2],
    [['compare', 'a.yaml', '--correction', 'house-rules'], 2],
    [['check'], 2],
    [['check', 'a.csv', '--fuel-table', 'x.csv'], 2],
    [['check', 'a.csv', '--delimiter', 'xyz'], 2],
    [['check', 'a.csv', '--decimal', 'dot-ish'], 2],
    [['check', 'a.csv', '--encoding', 'ebcdic'], 2],
    [['check', 'a.csv', '--time-unit', 'fortnight'], 2],
    [['check', 'a.csv', '--rate', '-1'], 2],
    [['new', 'a.csv', '--rate', 'often'], 2],
    [['new'], 2],
    [['--help'], 0],
    [['help', 'check'], 0],
    [['compare', '--help'], 0],
    [['--version'], 0],
  ] as const)('%j: %i', async (args, exit) => {
    const ran = await pullproof(args);
    expect(ran.exit).toBe(exit);
    if (exit === 0) expect(ran.err).toBe('');
    else {
      expect(ran.out).toBe('');
      expect(ran.err).not.toBe('');
    }
  });

  test('what was typed is repeated without its control characters', async () => {
    const { err } = await pullproof(['comp\u001b[31mare']);
    expect(err).toContain('comp\\u{1b}[31mare');
    expect(err).not.toContain('\u001b');
  });
});

describe('an input that cannot be used is exit 1 with code, place and fix', () => {
  test.each([
    ['E_INPUT', ['compare', 'missing.yaml']],
    ['E_INPUT', ['compare', '.']],
    ['E_INPUT', ['check', 'missing.csv']],
    ['E_INPUT', ['compare', 'trial-of-missing.yaml']],
    ['E_NOT_REGULAR', ['check', '/dev/null']],
    ['E_TRIAL_EMPTY', ['compare', 'empty.yaml']],
    ['E_ENCODING', ['compare', 'latin.yaml']],
    ['E_TRIAL_UNKNOWN_KEY', ['compare', 'unknown-key.yaml']],
    ['E_EMPTY', ['check', 'empty.yaml']],
  ])('%s for %j', async (code, args) => {
    const cwd = folderWith({
      'empty.yaml': '\n',
      'latin.yaml': Uint8Array.from([0x74, 0x3a, 0x20, 0xe9, 0x0a]),
      'unknown-key.yaml': 'trial: 1\nsetup: []\n',
      'trial-of-missing.yaml': 'trial: 1\nsetups: [ { name: a, runs: [ { log: gone.csv } ] }, { name: b, runs: [ { log: gone.csv } ] } ]\n',
    });
    const { exit, out, err } = await pullproof(args, { cwd });
    expect(exit).toBe(1);
    expect(out).toBe('');
    expect(err).toMatch(new RegExp(`^error \\S+.*: .+\\. .+ \\[${code}\\]\\n$`));
  });

  test('with --json the error is JSON too, on standard output or in the file', async () => {
    const cwd = folderWith({ 't.yaml': 'trial: 1\n' });
    const toOut = await pullproof(['compare', 't.yaml', '--json', '-'], { cwd });
    const error = JSON.parse(toOut.out) as object;
    expect(error).toEqual({
      schema: 'pullproof/error@1',
      error: {
        code: 'E_TRIAL_MISSING',
        severity: 'error',
        message: 'It is missing.',
        where: { path: 't.yaml', line: 1, field: 'setups' },
        fix: 'Add it: a list.',
      },
    });
    expect(toOut.err).toContain('[E_TRIAL_MISSING]');
    const toFile = await pullproof(['compare', 't.yaml', '--json', 'error.json', '--report', 'report.html'], { cwd });
    expect(toFile.exit).toBe(1);
    const { readFileSync, readdirSync } = await import('node:fs');
    expect(JSON.parse(readFileSync(`${cwd}/error.json`, 'utf8'))).toEqual(error);
    expect(readdirSync(cwd).sort()).toEqual(['error.json', 't.yaml']);
  });

  test('a hostile file name is inert on the terminal', async () => {
    const { err } = await pullproof(['check', 'a\u001b]0;x\u0007\u202e.csv'], { cwd: folderWith({}) });
    expect(err).not.toMatch(/[\u001b\u0007\u202e]/);
    expect(err).toContain('a\\u{1b}]0;x\\u{7}\\u{202e}.csv');
  });
});
