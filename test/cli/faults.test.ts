import { spawn, spawnSync } from 'node:child_process';
import { existsSync, mkdirSync, readdirSync, readFileSync, truncateSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, test } from 'vitest';
import { material } from '../../bench/fuzz/material.js';
import { readInput } from '../../packages/cli/src/files/readInput.js';
import { folderWith, pullproof } from './commandLine.js';

// Faults from outside: a full disk, a closed stream, a file that cannot be read to its end, a process that is ended. It needs a build.

const command = fileURLToPath(new URL('../../packages/cli/bin/pullproof.js', import.meta.url));
const { logs, trialText } = material();
const inputs = [...logs.keys(), 'trial.yaml'].sort();
const sound = (): string => folderWith(new Map([...logs, ['trial.yaml', trialText]]));
const linux = process.platform === 'linux';
const outputs = ['--report', 'out.html', '--json', 'out.json'];
const endOfReport = '<!-- written by pullproof -->\n';

/** Runs a line of the shell; `$PULLPROOF` stands for the command. */
function shell(line: string, cwd: string): { status: number | null; stdout: string; stderr: string } {
  return spawnSync('bash', ['-c', line], { cwd, encoding: 'utf8', env: { ...process.env, PULLPROOF: `${process.execPath} ${command}` } });
}

describe.runIf(linux)('a full disk', () => {
  test('a file that may not grow: E_WRITE, and nothing is left', () => {
    const folder = sound();
    const { status, stderr } = shell(`ulimit -f 200; exec $PULLPROOF compare trial.yaml ${outputs.join(' ')}`, folder);
    expect(status).toBe(1);
    expect(stderr).toContain('[E_WRITE]');
    // The error itself is small enough to be told as JSON.
    expect(readdirSync(folder).sort()).toEqual([...inputs, 'out.json'].sort());
    expect(JSON.parse(readFileSync(path.join(folder, 'out.json'), 'utf8'))).toMatchObject({
      schema: 'pullproof/error@1',
      error: { code: 'E_WRITE' },
    });
  });

  test('a report that is there already stays whole', () => {
    const folder = sound();
    expect(shell('exec $PULLPROOF compare trial.yaml --report out.html', folder).status).toBe(0);
    const before = readFileSync(path.join(folder, 'out.html'), 'utf8');
    expect(shell('ulimit -f 200; exec $PULLPROOF compare trial.yaml --report out.html', folder).status).toBe(1);
    expect(readFileSync(path.join(folder, 'out.html'), 'utf8')).toBe(before);
    expect(before.endsWith(endOfReport)).toBe(true);
  });

  // A disk of its own needs a user namespace, which some machines do not give to everyone.
  const mountable = linux && spawnSync('unshare', ['-rm', 'sh', '-c', 'mount -t tmpfs -o size=300k tmpfs /mnt']).status === 0;
  test.runIf(mountable)('a disk of 300 kB: E_WRITE, and nothing is left on it', () => {
    const folder = sound();
    mkdirSync(path.join(folder, 'disk'));
    const { status, stdout, stderr } = shell(
      `unshare -rm bash -c 'mount -t tmpfs -o size=300k tmpfs disk && cd disk && { $PULLPROOF compare ../trial.yaml --report out.html; echo exit $?; ls -A; }'`,
      folder,
    );
    expect(status).toBe(0);
    expect(stderr).toContain('The disk is full; nothing was written.');
    expect(stdout).toBe('exit 1\n');
  });
});

describe('a stream that is closed', () => {
  test.runIf(linux).each([
    ['standard output', '$PULLPROOF compare trial.yaml --json - >&-', /E_WRITE|EBADF|^$/],
    ['standard error', '$PULLPROOF compare gone.yaml 2>&-', /^$/],
  ])('%s from the start: an exit code of ours, no stack', (_, line, err) => {
    const { status, stderr } = shell(line, sound());
    expect([0, 1]).toContain(status);
    expect(stderr).toMatch(err);
    expect(stderr).not.toMatch(/\n\s+at /);
  });

  test.runIf(linux)('a reader that takes the first line and goes: exit 1 with E_WRITE', () => {
    const { stdout, stderr } = shell('$PULLPROOF compare trial.yaml --json - | head -c 100 > first; echo $PIPESTATUS', sound());
    expect(stdout).toBe('1\n');
    expect(stderr).toMatch(/^error standard output: .*\[E_WRITE\]\n$/);
  });
});

describe('a log that cannot be read to its end', () => {
  test.runIf(linux)('an error of the device is E_INPUT, in every command, and nothing is written', async () => {
    const folder = sound();
    // The memory of the own process is a regular file whose first byte cannot be read: EIO.
    writeFileSync(path.join(folder, 'trial.yaml'), trialText.replace('base-north.csv', '/proc/self/mem'));
    for (const name of ['compare', 'forecast', 'reconcile', 'plan']) {
      const { exit, err } = await pullproof([name, 'trial.yaml', ...(name === 'plan' ? [] : ['--report', 'out.html'])], { cwd: folder });
      expect([name, exit]).toEqual([name, 1]);
      expect(err).toMatch(/\/proc\/self\/mem: It cannot be read \(EIO\)\. .*\[E_INPUT\]/s);
    }
    expect((await pullproof(['check', '/proc/self/mem'], { cwd: folder })).exit).toBe(1);
    expect((await pullproof(['compare', '/proc/self/mem'], { cwd: folder })).exit).toBe(1);
    expect(readdirSync(folder).sort()).toEqual(inputs);
  });

  test('one that is cut off while it is read: what was read counts, and W_GREW says so', () => {
    const folder = folderWith({ 'a.csv': 'x'.repeat(3_000_000) });
    const input = readInput('a.csv', folder, { stdin: () => [] });
    let read = 0;
    for (const chunk of input.chunks) {
      if (read === 0) truncateSync(path.join(folder, 'a.csv'), 1_500_000);
      read += chunk.length;
    }
    expect(read).toBe(1_500_000);
    expect(input.findings().map(({ code }) => code)).toEqual(['W_GREW']);
  });

  test.runIf(process.getuid?.() !== 0)('one that may not be read is E_INPUT', async () => {
    const folder = sound();
    spawnSync('chmod', ['000', path.join(folder, 'base-north.csv')]);
    const { exit, err } = await pullproof(['compare', 'trial.yaml', '--report', 'out.html'], { cwd: folder });
    expect(exit).toBe(1);
    expect(err).toContain('Reading it is not permitted.');
    expect(existsSync(path.join(folder, 'out.html'))).toBe(false);
  });
});

describe.runIf(linux)('a process that is ended at any moment', () => {
  test.each(['SIGKILL', 'SIGINT'] as const)('%s: the outputs of before or the new ones, each whole', async (signal) => {
    const folder = sound();
    const file = (name: string): string => path.join(folder, name);
    const start = performance.now();
    const whole = spawnSync(process.execPath, [command, 'compare', 'trial.yaml', ...outputs], { cwd: folder });
    expect(whole.status).toBe(0);
    const tookMs = performance.now() - start;
    const ends = new Set<unknown>();
    for (let i = 1; i <= 12; i++) {
      const child = spawn(process.execPath, [command, 'compare', 'trial.yaml', ...outputs], { cwd: folder, stdio: 'ignore' });
      const ended = new Promise<unknown>((resolve) => child.on('close', (code, by) => resolve(by ?? code)));
      // The moments lie closer together towards the end, where files are written.
      setTimeout(() => child.kill(signal), tookMs * (1 - (1 - i / 12) ** 2) * 1.05);
      ends.add(await ended);
      expect(readFileSync(file('out.html'), 'utf8').endsWith(endOfReport)).toBe(true);
      expect(JSON.parse(readFileSync(file('out.json'), 'utf8'))).toMatchObject({ schema: 'pullproof/result@1' });
      const left = readdirSync(folder).filter((name) => name.endsWith('.tmp'));
      // Nobody can tidy after SIGKILL; the next run is not in its way.
      if (signal === 'SIGINT') expect(left).toEqual([]);
    }
    expect(ends.has(signal)).toBe(true);
    expect([...ends].every((end) => end === signal || end === 0)).toBe(true);
  });
});
