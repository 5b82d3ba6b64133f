import { execFileSync } from 'node:child_process';
import { chmodSync, cpSync, mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterEach, describe, expect, it } from 'vitest';

const cli = fileURLToPath(new URL('../../packages/cli', import.meta.url));
const folders: string[] = [];
afterEach(() => {
  for (const folder of folders.splice(0)) rmSync(folder, { recursive: true, force: true });
});

/** The command line as installed: what a package of it holds, without a checkout around it. */
function installed(): { packages: string; bundled: string; ran: (...args: string[]) => string } {
  const packages = mkdtempSync(path.join(tmpdir(), 'pullproof-installed-'));
  folders.push(packages);
  const bundled = path.join(packages, 'cli/dist/bundled');
  cpSync(path.join(cli, 'bin'), path.join(packages, 'cli/bin'), { recursive: true });
  cpSync(path.join(cli, 'dist/bundled'), bundled, { recursive: true, filter: (from) => !from.includes(`bundled${path.sep}code`) });
  const program = path.join(packages, 'cli/bin/pullproof.js');
  return { packages, bundled, ran: (...args) => execFileSync(process.execPath, [program, ...args], { encoding: 'utf8', stdio: 'pipe' }) };
}

/** Files of compiled code below a folder. */
function keptFiles(bundled: string): string[] {
  return readdirSync(path.join(bundled, 'code'), { recursive: true, withFileTypes: true }).flatMap((entry) =>
    entry.isFile() ? [path.join(entry.parentPath, entry.name)] : [],
  );
}

describe('code kept beside the bundle', () => {
  it('is written by the first run, whole, and the next run leaves it and says the same', () => {
    const { bundled, ran } = installed();
    const first = ran('check', '--help');
    const kept = keptFiles(bundled);
    expect(kept.map((file) => path.basename(file))).toContain('main.js');
    expect(kept.some((file) => /\.\d+$/.test(file))).toBe(false);
    const before = kept.map((file) => readFileSync(file));
    expect(ran('check', '--help')).toBe(first);
    expect(keptFiles(bundled).map((file) => readFileSync(file))).toEqual(before);
  });

  it('is made anew where it is broken or cut short', () => {
    const { bundled, ran } = installed();
    const first = ran('check', '--help');
    for (const file of keptFiles(bundled)) {
      const code = readFileSync(file);
      code[code.length >> 1]! ^= 0xff;
      writeFileSync(file, path.basename(file) === 'main.js' ? code.subarray(0, 1000) : code);
    }
    expect(ran('check', '--help')).toBe(first);
    expect(Math.min(...keptFiles(bundled).map((file) => readFileSync(file).length))).toBeGreaterThan(0);
    const mended = keptFiles(bundled).map((file) => readFileSync(file));
    ran('check', '--help');
    expect(keptFiles(bundled).map((file) => readFileSync(file))).toEqual(mended);
  });

  it('is done without where the folder cannot be written', () => {
    const { bundled, ran } = installed();
    // A file where the folder would be stops even one who may write everywhere.
    writeFileSync(path.join(bundled, 'code'), '');
    chmodSync(bundled, 0o555);
    expect(ran('check', '--help')).toContain('check');
    expect(readFileSync(path.join(bundled, 'code'), 'utf8')).toBe('');
    chmodSync(bundled, 0o755);
  });
});

describe('the bundle', () => {
  it('runs where its parts are as they were joined, however old its files are, and gives way where they are not', () => {
    const { packages, bundled, ran } = installed();
    const usual = ran('--version');
    writeFileSync(path.join(packages, 'cli/dist/main.js'), 'exports.main = async () => console.log("the parts");');
    expect(ran('--version')).toBe(usual);
    mkdirSync(path.join(packages, 'core/dist'), { recursive: true });
    writeFileSync(path.join(packages, 'core/dist/.tsbuildinfo'), 'built again');
    expect(ran('--version')).toBe('the parts\n');
    rmSync(path.join(packages, 'core'), { recursive: true });
    rmSync(path.join(bundled, 'stamp.json'));
    expect(ran('--version')).toBe('the parts\n');
  });
});
