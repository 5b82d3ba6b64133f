import { spawn } from 'node:child_process';
import { mkdirSync, readdirSync, readFileSync, symlinkSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import type { CheckResult } from '@pullproof/core';
import { noiseOnly25Hz } from '@pullproof/simulation';
import { describe, expect, test } from 'vitest';
import { folderWith, pullproof } from './commandLine.js';

const { logs } = noiseOnly25Hz(7);
const [before, after] = [logs.get('before.csv')!, logs.get('after.csv')!];
/** Workers run what was built: npx tsc -b. */
const command = fileURLToPath(new URL('../../packages/cli/bin/pullproof.js', import.meta.url));

/** A folder of seven logs in two folders, one of them empty; long and short ones mixed, so that they are not done in their order. */
function archive(): string {
  const folder = folderWith({});
  mkdirSync(path.join(folder, 'logs/new'), { recursive: true });
  for (const [name, text] of [
    ['logs/a.csv', before],
    ['logs/b.csv', `${before.split('\n').slice(0, 200).join('\n')}\n`],
    ['logs/c.csv', ''],
    ['logs/d.csv', after],
    ['logs/new/=1+1.csv', before],
    ['logs/new/e.csv', after],
    ['logs/new/f.CSV', after],
  ] as const)
    writeFileSync(path.join(folder, name), text);
  return folder;
}

describe('many logs', () => {
  test('a pattern finds them in the order of their names; the number of workers changes no byte; a bad file stops nothing', async () => {
    const cwd = archive();
    const runs = [];
    for (const workers of ['1', '2', '3']) {
      const outputs = ['--json', `r${workers}.json`, '--summary', `s${workers}.csv`, '--report', `r${workers}.html`];
      const { exit, out, err } = await pullproof(['check', 'logs/**/*.csv', '--workers', workers, ...outputs], { cwd });
      const files = ['json', 'html'].map((kind) => readFileSync(path.join(cwd, `r${workers}.${kind}`), 'utf8'));
      runs.push({ exit, out, err, files, summary: readFileSync(path.join(cwd, `s${workers}.csv`), 'utf8') });
    }
    expect(runs[1]).toEqual(runs[0]);
    expect(runs[2]).toEqual(runs[0]);
    const [{ exit, err, files }] = runs as [(typeof runs)[0]];
    expect(exit).toBe(1);
    expect(err).toMatch(/^error logs\/c\.csv: .*\[E_EMPTY\]\n$/);
    const { logs: entries } = JSON.parse(files[0]!) as CheckResult;
    expect(entries.map((log) => log.path)).toEqual([
      'logs/a.csv',
      'logs/b.csv',
      'logs/c.csv',
      'logs/d.csv',
      'logs/new/=1+1.csv',
      'logs/new/e.csv',
    ]);
    expect(entries[2]).toMatchObject({ rows: 0, findings: [{ code: 'E_EMPTY' }] });
    expect(readdirSync(cwd).filter((name) => name.endsWith('.tmp'))).toEqual([]);
  });

  test('workers give what one run after another gives, standard input among them', async () => {
    const cwd = archive();
    const here = await pullproof(['check', 'logs/a.csv', '-', 'logs/d.csv', '--json', '-'], { cwd, stdin: after });
    const workers = await pullproof(['check', 'logs/a.csv', '-', 'logs/d.csv', '--json', '-', '--workers', '2'], { cwd, stdin: after });
    expect(here.exit).toBe(0);
    expect(workers).toEqual(here);
  });

  test('JSON of many is what jsonText makes of the whole', async () => {
    const cwd = archive();
    const { out } = await pullproof(['check', 'logs/*.csv', '--json', '-'], { cwd });
    const value = JSON.parse(out) as CheckResult;
    const { jsonText } = await import('../../packages/cli/src/files/jsonText.js');
    expect(jsonText(value)).toBe(out);
  });

  test('summary as CSV: numbers stay numbers, names that a spreadsheet would run are neutralised; as JSON by its name', async () => {
    const cwd = archive();
    await pullproof(['check', 'logs/**/*.csv', '--summary', 's.csv'], { cwd });
    const lines = readFileSync(path.join(cwd, 's.csv'), 'utf8').split('\r\n');
    expect(lines).toHaveLength(8);
    const rows = lines.slice(1, -1).map((line) => line.split(','));
    expect(rows[0]!.slice(0, 5)).toEqual(['logs/a.csv', 'read', '', String(before.trimEnd().split('\n').length - 1), '0']);
    expect(rows[2]!.slice(0, 4)).toEqual(['logs/c.csv', 'failed', 'E_EMPTY', '0']);
    const inner = await pullproof(['check', '=1+1.csv', '--summary', 't.csv'], { cwd: path.join(cwd, 'logs/new') });
    expect(inner.exit).toBe(0);
    expect(readFileSync(path.join(cwd, 'logs/new/t.csv'), 'utf8').split('\r\n')[1]).toMatch(/^'=1\+1\.csv,read,/);
    await pullproof(['check', 'logs/*.csv', '--summary', 's.json'], { cwd });
    const summary = JSON.parse(readFileSync(path.join(cwd, 's.json'), 'utf8')) as {
      schema: string;
      logs: { log: string; pulls: number }[];
    };
    expect(summary.schema).toBe('pullproof/summary@1');
    expect(summary.logs.map(({ pulls }) => pulls > 0)).toEqual([true, true, false, true]);
    // Its own summaries may be replaced, other files not.
    expect((await pullproof(['check', 'logs/a.csv', '--summary', 's.csv'], { cwd })).exit).toBe(0);
    writeFileSync(path.join(cwd, 'other.csv'), 'log,size\n');
    expect((await pullproof(['check', 'logs/a.csv', '--summary', 'other.csv'], { cwd })).err).toContain('[E_WRITE]');
  });

  test('more than ten logs are shown in one line each', async () => {
    const cwd = folderWith(Object.fromEntries(Array.from({ length: 12 }, (_, i) => [`${i + 10}.csv`, before])));
    const { exit, out } = await pullproof(['check', '*.csv'], { cwd });
    expect(exit).toBe(0);
    const lines = out.trimEnd().split('\n');
    expect(lines[12]).toMatch(/^12 logs together: pulls have gaps/);
    expect(lines[3]).toMatch(/^13\.csv: \d+ rows, [\d.]+ s, 3 pulls/);
  });

  test('progress on a terminal only', async () => {
    const cwd = folderWith(Object.fromEntries(Array.from({ length: 5 }, (_, i) => [`${i}.csv`, before])));
    const shown = await pullproof(['check', '*.csv'], { cwd, terminal: true, tickMs: 600 });
    expect(shown.err).toContain('checked 4 of 5 logs');
    expect(shown.err.endsWith('\r\u001b[K')).toBe(true);
    expect((await pullproof(['check', '*.csv'], { cwd, tickMs: 600 })).err).toBe('');
  });

  test.each([
    ['a pattern that fits nothing', ['check', 'gone/*.csv'], 1, 'E_INPUT'],
    ['a number of workers that is none', ['check', 'a.csv', '--workers', 'few'], 2, 'E_STATED'],
    ['no workers', ['check', 'a.csv', '--workers', '0'], 2, 'E_STATED'],
    // Found by hand beside the fuzzing: 40 logs with 5,000 workers took 75 s and gigabytes.
    ['too many workers', ['check', 'a.csv', '--workers', '5000'], 2, 'E_STATED'],
    ['summary and report in one file', ['check', 'a.csv', '--report', 'x.html', '--summary', './x.html'], 1, 'E_OUTPUT_PATH'],
    ['a link as the folder of an archive', ['check', 'a.csv', '--parquet', 'link'], 1, 'E_OUTPUT_PATH'],
    ['a file as the folder of an archive', ['check', 'a.csv', '--parquet', 'a.csv'], 1, 'E_OUTPUT_PATH'],
  ])('%s', async (_what, args, exit, code) => {
    const cwd = folderWith({ 'a.csv': before });
    symlinkSync(cwd, path.join(cwd, 'link'));
    const ran = await pullproof(args, { cwd });
    expect(ran.exit).toBe(exit);
    expect(ran.err).toContain(`[${code}]`);
    expect(readdirSync(cwd).sort()).toEqual(['a.csv', 'link']);
  });

  test.runIf(process.platform !== 'win32').each(['SIGINT', 'SIGTERM'] as const)('%s leaves no half file', async (signal) => {
    const cwd = folderWith(Object.fromEntries(Array.from({ length: 120 }, (_, i) => [`${i}.csv`, before])));
    const child = spawn(process.execPath, [command, 'check', '*.csv', '--json', 'r.json', '--parquet', 'store', '--workers', '2'], {
      cwd,
      stdio: ['ignore', 'pipe', 'inherit'],
    });
    const ended = new Promise((resolve) => child.on('close', (_code, by) => resolve(by)));
    await new Promise((resolve) => child.stdout.once('data', resolve));
    expect(readdirSync(cwd).some((name) => name.endsWith('.tmp'))).toBe(true);
    child.kill(signal);
    expect(await ended).toBe(signal);
    const left = readdirSync(cwd, { recursive: true, encoding: 'utf8' }).filter((name) => !/^\d+\.csv$/.test(name));
    expect(left.filter((name) => name.endsWith('.tmp') || name === 'r.json' || name.endsWith('logs.parquet'))).toEqual([]);
    // What was finished before is whole: a Parquet file begins and ends with its mark.
    for (const name of left.filter((one) => one.endsWith('.parquet'))) {
      const bytes = readFileSync(path.join(cwd, name));
      expect([bytes.subarray(0, 4).toString(), bytes.subarray(-4).toString()]).toEqual(['PAR1', 'PAR1']);
    }
  });
});
