import { spawn, spawnSync } from 'node:child_process';
import { closeSync, openSync, readdirSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { noiseOnly25Hz } from '@pullproof/simulation';
import { describe, expect, test } from 'vitest';
import { folderWith } from './commandLine.js';

/** The command as it is installed. It needs a build (npm ci makes one; npx tsc -b). */
const command = fileURLToPath(new URL('../../packages/cli/bin/pullproof.js', import.meta.url));
const { logs, trial } = noiseOnly25Hz(7);

describe('as a process', () => {
  test('exit codes and streams', () => {
    const folder = folderWith({});
    const at = (...args: string[]) => spawnSync(process.execPath, [command, ...args], { cwd: folder, encoding: 'utf8' });
    expect(at('--version')).toMatchObject({ status: 0, stderr: '', stdout: expect.stringMatching(/^\d+\.\d+\.\d+\n$/) as string });
    expect(at('compare')).toMatchObject({ status: 2, stdout: '' });
    expect(at('compare', 'gone.yaml')).toMatchObject({ status: 1, stdout: '' });
  });

  test('a log through a pipe', () => {
    const { status, stdout } = spawnSync(process.execPath, [command, 'check', '-', '--json', '-'], {
      input: logs.get('before.csv')!,
      encoding: 'utf8',
    });
    expect(status).toBe(0);
    expect((JSON.parse(stdout) as { logs: { rows: number }[] }).logs[0]!.rows).toBeGreaterThan(500);
  });

  test('E_WRITE when the reader of a pipe has gone', async () => {
    const folder = folderWith(new Map([...logs, ['trial.yaml', trial]]));
    const child = spawn(process.execPath, [command, 'compare', 'trial.yaml', '--json', '-'], {
      cwd: folder,
      stdio: ['ignore', 'pipe', 'pipe'],
    });
    child.stdout.destroy();
    let err = '';
    child.stderr.setEncoding('utf8').on('data', (text: string) => {
      err += text;
    });
    const exit = await new Promise((resolve) => child.on('close', resolve));
    expect(exit).toBe(1);
    expect(err).toMatch(/^error standard output: .*\[E_WRITE\]\n$/);
  });

  test.runIf(process.platform === 'linux')('E_WRITE when the disk is full', () => {
    const folder = folderWith(new Map([...logs, ['trial.yaml', trial]]));
    const full = openSync('/dev/full', 'w');
    const { status, stderr } = spawnSync(process.execPath, [command, 'compare', 'trial.yaml', '--json', '-'], {
      cwd: folder,
      stdio: ['ignore', full, 'pipe'],
      encoding: 'utf8',
    });
    closeSync(full);
    expect(status).toBe(1);
    expect(stderr).toContain('[E_WRITE]');
    expect(readdirSync(folder).sort()).toEqual([...logs.keys(), 'trial.yaml'].sort());
  });
});
