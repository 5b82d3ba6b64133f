import { spawnSync } from 'node:child_process';
import { chmodSync, mkdirSync, readdirSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, test } from 'vitest';
import { runTag } from '../../packages/cli/src/files/temporaryName.js';
import { plainText } from '../core/log/fixture.js';
import { folderWith, pullproof } from './commandLine.js';

const command = fileURLToPath(new URL('../../packages/cli/bin/pullproof.js', import.meta.url));
/** A tag as a run with this process number would have made. */
const tagOf = (pid: number): string => runTag().replace(/^([0-9a-f]+)-\d+/, `$1-${pid}`);

describe('a folder that cannot be written', () => {
  // A superuser writes anywhere: then the command runs as nobody.
  const user = process.getuid?.() === 0 ? { uid: 65_534, gid: 65_534 } : {};

  test.runIf(process.platform === 'linux').each([
    ['--json', 'r.json'],
    ['--report', 'r.html'],
    ['--summary', 'r.csv'],
    ['--parquet', 'store'],
  ])('is E_WRITE for %s %s, and no fault of ours', (option, name) => {
    const cwd = folderWith({ 'a.csv': plainText() });
    mkdirSync(path.join(cwd, 'shut'));
    chmodSync(path.join(cwd, 'shut'), 0o555);
    chmodSync(cwd, 0o755);
    const { status, stderr } = spawnSync(process.execPath, [command, 'check', 'a.csv', option, `shut/${name}`], {
      cwd,
      encoding: 'utf8',
      ...user,
    });
    expect(stderr).toContain('[E_WRITE]');
    expect(stderr).not.toContain('E_INTERNAL');
    expect(status).toBe(1);
    expect(readdirSync(path.join(cwd, 'shut'))).toEqual([]);
  });
});

describe('what a killed run left behind', () => {
  test('is swept by the next run; what a living run writes, or another machine, is left alone', async () => {
    const dead = spawnSync(process.execPath, ['-e', '']).pid;
    const cwd = folderWith({ 'a.csv': plainText() });
    const living = `.r.json.${tagOf(process.ppid)}.tmp`;
    const elsewhere = `.r.json.00000000-${dead}-11111111-1111-4111-8111-111111111111.tmp`;
    for (const name of [`.r.json.${tagOf(dead)}.tmp`, living, elsewhere, '.mine.tmp']) writeFileSync(path.join(cwd, name), '{');
    expect((await pullproof(['check', 'a.csv', '--json', 'r.json'], { cwd })).exit).toBe(0);
    expect(readdirSync(cwd).sort()).toEqual(['.mine.tmp', living, elsewhere, 'a.csv', 'r.json'].sort());
  });
});

describe('backslashes in double quotes of a trial', () => {
  test.each([
    ['an escape that YAML does not know', 'C:\\logs\\a.csv'],
    ['one that it takes for a tab', 'C:\\temp.csv'],
  ])('%s: the hint names single quotes and slashes', async (_, written) => {
    const trial = `trial: 1\ncar: { name: demo }\nsetups:\n  - name: base\n    runs: [ { log: "${written}" } ]\n`;
    const cwd = folderWith({ 'trial.yaml': trial });
    const { exit, err } = await pullproof(['compare', 'trial.yaml'], { cwd });
    expect(exit).toBe(1);
    expect(err).toContain('line 5');
    expect(err).toContain('Write the path in single quotes');
    expect(err).toContain('[E_TRIAL_SYNTAX]');
  });
});
