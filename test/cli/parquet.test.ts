import { mkdirSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { DuckDBInstance } from '@duckdb/node-api';
import { readLog } from '@pullproof/core';
import { describe, expect, test } from 'vitest';
import { folderWith, pullproof } from './commandLine.js';

/** A log with blanks, a negative zero, 17 digits, a channel held for ten rows, one in another unit, one that is not recognised. */
function log(rows: number): string {
  const lines = ['Time (s),Engine speed (rpm),Manifold pressure (kPa abs),Coolant temperature (°F),Spark advance (deg),Träger "=x"'];
  for (let i = 0; i < rows; i++) {
    const held = (190.5 + Math.floor(i / 10) * 0.5 * (Math.floor(i / 10) % 2)).toFixed(1);
    const spark = i === 3 ? '-0.0' : (18 + 0.1 * Math.sin(i)).toFixed(1);
    lines.push(
      [
        (0.02 * i).toFixed(2),
        i % 7 === 5 ? '' : (2000 + Math.sqrt(i) * 31.4159265358979).toPrecision(17),
        (101.3 + Math.sin(i / 9)).toFixed(3),
        held,
        spark,
        String((i * 7) % 13),
      ].join(','),
    );
  }
  return `${lines.join('\n')}\n`;
}

async function query(sql: string): Promise<Record<string, unknown>[]> {
  const instance = await DuckDBInstance.create(':memory:');
  const connection = await instance.connect();
  try {
    return (await connection.runAndReadAll(sql)).getRowObjectsJS() as Record<string, unknown>[];
  } finally {
    connection.closeSync();
    instance.closeSync();
  }
}

const quoted = (file: string): string => `'${file.replaceAll("'", "''")}'`;

describe('channels as Parquet, read back by DuckDB', () => {
  test('every value bit for bit, null where nothing was read, minus zero kept, metadata', async () => {
    const text = log(500);
    const cwd = folderWith({ 'a.csv': text });
    expect((await pullproof(['check', 'a.csv', '--parquet', 'store'], { cwd })).exit).toBe(0);
    const [name] = readdirSync(path.join(cwd, 'store/channels'));
    expect(name).toMatch(/^[0-9a-f]{16}-a\.csv\.parquet$/);
    const file = quoted(path.join(cwd, 'store/channels', name!));
    const read = readLog(Uint8Array.from(Buffer.from(text)), { path: 'a.csv' });
    const rows = await query(`select * from ${file} order by row`);
    expect(rows).toHaveLength(read.rows);
    const columns = ['time_s', 'engine_speed_rpm', 'manifold_pressure_pa', 'coolant_temperature_k', 'spark_advance_deg', 'other_träger_x'];
    expect(Object.keys(rows[0]!).filter((key) => !key.endsWith('_new'))).toEqual(['log_sha256', 'row', ...columns]);
    for (const [c, column] of columns.entries()) {
      const { values } = read.channels[c]!;
      rows.forEach((row, i) => {
        const value = row[column];
        if (Number.isNaN(values[i]!)) expect(value).toBeNull();
        else if (!Object.is(value, values[i]!)) expect(value, `${column} ${i}`).toBe(values[i]!);
      });
    }
    expect(Object.is(rows[3]!.spark_advance_deg, -0)).toBe(true);
    expect(rows.filter((row) => row.engine_speed_rpm === null)).toHaveLength(71);
    const coolant = read.channels[3]!;
    expect(rows.map((row) => (row.coolant_temperature_k_new === true ? 1 : 0))).toEqual(Array.from(coolant.fresh));
    expect(coolant.fresh.includes(0)).toBe(true);
    const [meta] = await query(`select decode(value) as value from parquet_kv_metadata(${file}) where decode(key) = 'pullproof'`);
    const about = JSON.parse(String(meta!.value)) as { schema: string; sha256: string; channels: Record<string, unknown>[] };
    expect(about.schema).toBe('pullproof/channels@1');
    expect(about.sha256).toBe(rows[0]!.log_sha256);
    expect(about.channels[2]).toMatchObject({
      column: 'manifold_pressure_pa',
      name: 'Manifold pressure (kPa abs)',
      quantity: 'manifold-pressure',
      siUnit: 'Pa',
      unit: 'kPa',
      standing: 'recognised',
      reference: 'absolute',
    });
    expect(about.channels[5]).toMatchObject({ quantity: null, siUnit: null, standing: 'unknown' });
  });

  test('an archive of many logs in one question; the same bytes from any number of workers; a bad log is a row without channels', async () => {
    const cwd = folderWith({});
    mkdirSync(path.join(cwd, 'logs'));
    for (const [name, text] of [
      ['a.csv', log(400)],
      ['b.csv', log(300)],
      ['c.csv', '\n'],
      ['d.csv', log(300)],
    ] as const)
      writeFileSync(path.join(cwd, 'logs', name), text);
    for (const workers of ['1', '2'])
      expect((await pullproof(['check', 'logs/*.csv', '--parquet', `store${workers}`, '--workers', workers], { cwd })).exit).toBe(1);
    const files = readdirSync(path.join(cwd, 'store1'), { recursive: true, encoding: 'utf8' }).sort();
    expect(readdirSync(path.join(cwd, 'store2'), { recursive: true, encoding: 'utf8' }).sort()).toEqual(files);
    for (const file of files.filter((name) => name.endsWith('.parquet')))
      expect(readFileSync(path.join(cwd, 'store2', file)).equals(readFileSync(path.join(cwd, 'store1', file))), file).toBe(true);
    const store = path.join(cwd, 'store1');
    const logs = await query(`select log, state, problem, rows, pulls from ${quoted(path.join(store, 'logs.parquet'))}`);
    expect(logs).toEqual([
      { log: 'logs/a.csv', state: 'read', problem: null, rows: 400, pulls: 0 },
      { log: 'logs/b.csv', state: 'read', problem: null, rows: 300, pulls: 0 },
      { log: 'logs/c.csv', state: 'failed', problem: 'E_EMPTY', rows: 0, pulls: 0 },
      { log: 'logs/d.csv', state: 'read', problem: null, rows: 300, pulls: 0 },
    ]);
    // b and d hold the same bytes: two files, one hash.
    const counted = await query(
      `select l.log, count(c.row)::int as n, max(c.manifold_pressure_pa) as most from read_parquet(${quoted(path.join(store, 'logs.parquet'))}) l
       left join read_parquet(${quoted(path.join(store, 'channels/*-a.csv.parquet'))}, union_by_name = true) c using (log_sha256) where l.log = 'logs/a.csv' group by all`,
    );
    const { channels } = readLog(Uint8Array.from(Buffer.from(log(400))), { path: 'a.csv' });
    expect(counted).toEqual([{ log: 'logs/a.csv', n: 400, most: Math.max(...channels[2]!.values) }]);
    // Its own archive may be written again, another file in its place not.
    expect((await pullproof(['check', 'logs/a.csv', '--parquet', 'store1'], { cwd })).exit).toBe(0);
    writeFileSync(path.join(store, 'logs.parquet'), 'PAR1 other PAR1');
    expect((await pullproof(['check', 'logs/a.csv', '--parquet', 'store1'], { cwd })).err).toContain('[E_WRITE]');
  });
});
