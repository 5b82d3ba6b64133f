import { spawn, spawnSync } from 'node:child_process';
import { copyFileSync, mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, statSync, utimesSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { DuckDBInstance } from '@duckdb/node-api';
import { afterAll, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import { pullproof } from './commandLine.js';

/** An archive made in parts: the same as one made at once, whoever hands the parts out and whatever dies on the way. */

const root = fileURLToPath(new URL('../..', import.meta.url));
const command = path.join(root, 'packages/cli/bin/pullproof.js');
let cwd: string;
let names: string[];

beforeAll(() => {
  cwd = mkdtempSync(path.join(tmpdir(), 'pullproof-archive-'));
  mkdirSync(path.join(cwd, 'logs'));
  const sources = ['base-north.csv', 'pulley-south.csv', 'cooler-north.csv'];
  names = Array.from({ length: 12 }, (_, i) => `logs/car-${i % 4}/run ${i}.csv`);
  for (const [i, name] of names.entries()) {
    mkdirSync(path.dirname(path.join(cwd, name)), { recursive: true });
    copyFileSync(path.join(root, 'sample-logs', sources[i % 3]!), path.join(cwd, name));
  }
  writeFileSync(path.join(cwd, names[7]!), 'no log at all');
  writeFileSync(path.join(cwd, 'logs.txt'), `${names.join('\n')}\n`);
});
afterAll(() => rmSync(cwd, { recursive: true, force: true }));

async function duckdb(statement: string): Promise<unknown[][]> {
  const connection = await (await DuckDBInstance.create()).connect();
  const rows = await (await connection.runAndReadAll(statement)).getRows();
  connection.closeSync();
  return rows as unknown[][];
}

/** Joins an archive as a person would and gives the bytes of the joined table. */
async function joined(folder: string): Promise<Buffer> {
  const { out } = await pullproof(['archive', 'join', folder], { cwd });
  await duckdb(out.replaceAll(`'${folder}/`, `'${path.join(cwd, folder)}/`));
  return readFileSync(path.join(cwd, folder, 'joined.parquet'));
}

const channels = (folder: string): Map<string, Buffer> =>
  new Map(readdirSync(path.join(cwd, folder, 'channels')).map((name) => [name, readFileSync(path.join(cwd, folder, 'channels', name))]));

const inParts = async (folder: string, parts: number): Promise<void> => {
  for (let k = 1; k <= parts; k++)
    expect((await pullproof(['check', '--list', 'logs.txt', '--part', `${k}/${parts}`, '--parquet', folder], { cwd })).exit).toBeLessThan(
      2,
    );
};

let wanted: Buffer;
let wantedChannels: Map<string, Buffer>;
beforeAll(async () => {
  await inParts('at-once', 2);
  wanted = await joined('at-once');
  wantedChannels = channels('at-once');
}, 120_000);

const sameArchive = async (folder: string): Promise<void> => {
  expect((await joined(folder)).equals(wanted)).toBe(true);
  const made = channels(folder);
  expect([...made.keys()].sort()).toEqual([...wantedChannels.keys()].sort());
  for (const [name, bytes] of made) expect(bytes.equals(wantedChannels.get(name)!)).toBe(true);
};

describe('an archive in parts', () => {
  it('is the same however the list is cut, and the same as at once', async () => {
    await inParts('five', 5);
    await sameArchive('five');
    expect((await pullproof(['check', '--list', 'logs.txt', '--parquet', 'one'], { cwd })).exit).toBe(1);
    const columns = 'log, log_sha256, state, problem, rows, pulls, findings';
    const [one, parts] = await Promise.all(
      ['one/logs.parquet', 'five/joined.parquet'].map((file) => duckdb(`SELECT ${columns} FROM '${path.join(cwd, file)}' ORDER BY log`)),
    );
    expect(one).toEqual(parts);
    expect(one).toHaveLength(12);
  }, 120_000);

  it('a log stays in its part, whatever else is listed', async () => {
    const partsOf = async (list: readonly string[]): Promise<Map<string, number>> => {
      writeFileSync(path.join(cwd, 'some.txt'), list.join('\n'));
      const found = new Map<string, number>();
      for (let k = 1; k <= 3; k++) {
        await pullproof(['check', '--list', 'some.txt', '--part', `${k}/3`, '--summary', 's.json', '--force'], { cwd });
        const { logs } = JSON.parse(readFileSync(path.join(cwd, 's.json'), 'utf8')) as { logs: { log: string }[] };
        for (const { log } of logs) found.set(log, k);
      }
      return found;
    };
    const all = await partsOf(names);
    expect(all.size).toBe(12);
    const few = await partsOf(names.slice(4, 8));
    for (const [log, part] of few) expect(part).toBe(all.get(log));
  }, 120_000);

  it('a second run reads only what is new or changed, and appends', async () => {
    writeFileSync(path.join(cwd, 'first.txt'), names.slice(0, 4).join('\n'));
    await pullproof(['check', '--list', 'first.txt', '--parquet', 'grown'], { cwd });
    const before = new Map([...channels('grown').keys()].map((name) => [name, statSync(path.join(cwd, 'grown/channels', name)).mtimeMs]));
    utimesSync(path.join(cwd, names[1]!), new Date(), new Date());
    const { out } = await pullproof(['check', '--list', 'logs.txt', '--parquet', 'grown'], { cwd });
    expect(out).toContain('3 of 12 logs are in the archive as they are now.');
    expect(before.size).toBeGreaterThan(0);
    expect((await duckdb(`SELECT count(*)::int FROM '${path.join(cwd, 'grown/logs.parquet')}'`))[0]).toEqual([12]);
    const again = await pullproof(['check', '--list', 'logs.txt', '--parquet', 'grown'], { cwd });
    // The one that is no log is tried again.
    expect(again.out).toContain('11 of 12 logs are in the archive as they are now.');
    expect(again.exit).toBe(1);
  }, 120_000);

  it('killed at any moment it costs what was not noted yet, and a rerun heals it', async () => {
    for (const afterMs of [150, 600, 1100]) {
      const child = spawn(
        process.execPath,
        [command, 'check', '--list', 'logs.txt', '--part', '1/1', '--parquet', `killed-${afterMs}`, '--workers', '1'],
        { cwd },
      );
      await new Promise((wait) => setTimeout(wait, afterMs));
      child.kill('SIGKILL');
      await new Promise((ended) => child.on('close', ended));
      await inParts(`killed-${afterMs}`, 2);
      await sameArchive(`killed-${afterMs}`);
    }
  }, 120_000);

  it.each(['0/3', '4/3', '3', 'a/b', '1/0'])('refuses the part %s', async (part) => {
    const { exit, err } = await pullproof(['check', 'logs.txt', '--part', part], { cwd });
    expect(exit).toBe(2);
    expect(err).toContain('--part takes a part and how many there are');
  });

  it('needs a log', async () => {
    const { exit, err } = await pullproof(['check'], { cwd });
    expect(exit).toBe(2);
    expect(err).toContain('No log is named.');
  });
});

const has = (program: string, ...args: string[]): boolean => spawnSync(program, args).status === 0;
const env = { ...process.env, PULLPROOF: `${process.execPath} ${command}` };

describe('questions that tuners ask', () => {
  it('each of the guide is answered by the archive', async () => {
    const [head, ...rows] = readFileSync(path.join(root, 'sample-logs/base-north.csv'), 'utf8').split('\n');
    const column = head!.split(',').findIndex((name) => name.startsWith('Manifold pressure'));
    const clamped = rows.map((row) => row.split(',').map((cell, i) => (i === column && Number(cell) > 135 ? '135.0' : cell)));
    mkdirSync(path.join(cwd, 'logs/car-9'), { recursive: true });
    writeFileSync(path.join(cwd, 'logs/car-9/pegged.csv'), [head, ...clamped.map((row) => row.join(','))].join('\n'));
    await pullproof(['check', 'logs/car-9/pegged.csv', '--list', 'logs.txt', '--parquet', 'archive'], { cwd });
    const pulleys = names.map((name, i) => `${name},${i % 2 === 0 ? '79 mm' : '74 mm'}`);
    writeFileSync(path.join(cwd, 'fitted.csv'), `log,pulley\n${pulleys.join('\n')}\n`);
    const guide = readFileSync(path.join(root, 'docs/scale.md'), 'utf8');
    const section = guide.slice(guide.indexOf('## Questions that tuners ask'), guide.indexOf('## A million logs'));
    const statements = [...section.matchAll(/```sql\n([\s\S]*?)```/g)].map(([, sql]) =>
      sql!.replaceAll("'archive/", `'${cwd}/archive/`).replaceAll("'fitted.csv'", `'${cwd}/fitted.csv'`),
    );
    expect(statements).toHaveLength(4);
    const [lean, hot, pegged, knock] = await Promise.all(statements.map(duckdb));
    expect(lean!.map(([car]) => car).sort()).toEqual(['car-0', 'car-1', 'car-2', 'car-3', 'car-9']);
    for (const [, single, held] of lean as [string, number, number][]) {
      expect(single).toBeGreaterThan(0.6);
      expect(held).toBeLessThan(1.1);
    }
    expect(hot!.map(([pulley]) => pulley).sort()).toEqual(['74 mm', '79 mm']);
    for (const [, celsius] of hot as [string, number][]) expect(celsius).toBeGreaterThan(30);
    expect(pegged).toEqual([['logs/car-9/pegged.csv']]);
    expect(knock!.length).toBe(12);
  }, 120_000);
});

describe('whoever hands the parts out', () => {
  beforeEach(() => rmSync(path.join(cwd, 'engine'), { recursive: true, force: true }));
  const run = (program: string, args: readonly string[]): void => {
    const done = spawnSync(program, args, { cwd, env, encoding: 'utf8', timeout: 100_000 });
    expect(`${done.stdout}${done.stderr}`.slice(-2000) + done.status).toMatch(/0$/);
  };

  it.skipIf(!has('parallel', '--version'))(
    'GNU parallel',
    async () => {
      // Exit 1 says that a log could not be read, which is a row of its own: no reason for another try.
      run('sh', [
        '-c',
        'seq 1 4 | parallel -j2 "$PULLPROOF check --list logs.txt --part {}/4 --parquet engine --workers 1 || test \\$? -eq 1"',
      ]);
      await sameArchive('engine');
    },
    120_000,
  );

  it.skipIf(!has('/usr/bin/python3', '-c', 'import distributed'))(
    'Dask',
    async () => {
      run('/usr/bin/python3', [path.join(root, 'docs/recipes/parts_dask.py'), 'logs.txt', 'engine', '4']);
      await sameArchive('engine');
    },
    120_000,
  );

  const hasSlurm = process.getuid?.() === 0 && has('slurmctld', '-V') && has('slurmd', '-V') && has('munged', '--version');
  it.skipIf(!hasSlurm)(
    'Slurm, where jobs are killed and the array is submitted again',
    async () => {
      const cluster = mkdtempSync(path.join(tmpdir(), 'pullproof-slurm-'));
      const withCluster = { ...env, SLURM_CONF: path.join(cluster, 'slurm.conf') };
      const ask = (program: string, ...args: string[]): string =>
        spawnSync(program, args, { cwd, env: withCluster, encoding: 'utf8' }).stdout;
      const up = spawnSync(path.join(root, 'test/cli/slurm/up.sh'), [cluster], { encoding: 'utf8', stdio: ['ignore', 'ignore', 'ignore'] });
      try {
        expect(up.status).toBe(0);
        const recipe = path.join(root, 'docs/recipes/parts-slurm.sh');
        const submit = async (): Promise<void> => {
          ask('sbatch', '--array=1-4%2', '--output=/dev/null', recipe, 'logs.txt', 'engine');
          await new Promise((wait) => setTimeout(wait, 1000));
        };
        const ended = async (): Promise<void> => {
          for (let waited = 0; waited < 60 && ask('squeue', '-h') !== ''; waited++) await new Promise((wait) => setTimeout(wait, 1000));
          expect(ask('squeue', '-h')).toBe('');
        };
        await submit();
        ask('pkill', '-9', '-f', 'part [12]/4 --parquet engine');
        await ended();
        await submit();
        await ended();
        await sameArchive('engine');
      } finally {
        ask('scontrol', 'shutdown');
        await new Promise((wait) => setTimeout(wait, 500));
        rmSync(cluster, { recursive: true, force: true });
      }
    },
    150_000,
  );
});
