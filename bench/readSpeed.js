// Speed and memory of reading a log to typed columns, beside other readers, all on this machine in one run.
//   node bench/readSpeed.js [--megabytes 100] [--runs 5] [--large] [--write]
// Each reader runs in a process of its own; the median of the runs counts. `--large` adds a log ten times as long of which one channel is kept.
// `--write` puts the table into docs/speed.md. DuckDB is measured where PULLPROOF_DUCKDB names a folder whose node_modules hold @duckdb/node-api.
import { spawnSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { cpus, tmpdir } from 'node:os';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { parseArgs } from 'node:util';
import { makeLog } from './readSpeed/makeLog.js';

const { values: args } = parseArgs({
  options: {
    megabytes: { type: 'string', default: '100' },
    runs: { type: 'string', default: '5' },
    large: { type: 'boolean', default: false },
    write: { type: 'boolean', default: false },
  },
});
const here = path.dirname(fileURLToPath(import.meta.url));
const readers = [
  ['Pullproof, whole log with all its checks', 'pullproof'],
  ['Pullproof, one channel kept', 'pullproofOne'],
  ['papaparse 5.7.1, streamed to Float64', 'papaparse'],
  ['uDSV 0.7.3, typed columns', 'udsv'],
  ['DuckDB 1.5.6, table in memory', 'duckdb'],
  ['pandas (Debian), read_csv', 'pandas'],
];

function measure(reader, file) {
  const command =
    reader === 'pandas'
      ? ['/usr/bin/python3', path.join(here, 'readSpeed/pandasReader.py'), file]
      : [process.execPath, path.join(here, 'readSpeed/reader.js'), reader, file];
  const { status, stdout, stderr } = spawnSync(command[0], command.slice(1), { encoding: 'utf8' });
  if (status === 3) return null;
  if (status !== 0) throw new Error(`${reader}: ${stderr}`);
  return JSON.parse(stdout);
}

function median(numbers) {
  return [...numbers].sort((a, b) => a - b)[numbers.length >> 1];
}

const folder = mkdtempSync(path.join(tmpdir(), 'read-speed-'));
try {
  const file = path.join(folder, 'log.csv');
  const rows = makeLog(file, Number(args.megabytes) * 1e6);
  const bytes = statSync(file).size;
  const table = [];
  for (const [label, reader] of readers) {
    const runs = Array.from({ length: Number(args.runs) }, () => measure(reader, file)).filter((run) => run !== null);
    if (runs.length === 0) continue;
    if (runs.some((run) => run.rows !== rows)) throw new Error(`${label} read ${runs[0].rows} rows of ${rows}`);
    const seconds = median(runs.map((run) => run.seconds));
    const peak = median(runs.map((run) => run.peakBytes));
    table.push(`| ${label} | ${(bytes / 1e6 / seconds).toFixed(0)} | ${(peak / 1e6).toFixed(0)} | ${(peak / bytes).toFixed(2)} |`);
    console.error(table.at(-1));
  }
  const lines = [
    `Log: ${(bytes / 1e6).toFixed(0)} MB, ${rows.toLocaleString('en')} rows, 25 columns, three decimals. Median of ${args.runs} runs, one process each; reading only, without the start of the process. Peak is that of the whole process. ${cpus().length} cores (${cpus()[0].model.trim()}), Node ${process.versions.node}.`,
    '',
    '| reader | MB/s | peak MB | peak over file |',
    '|---|---|---|---|',
    ...table,
  ];
  if (args.large) {
    const large = path.join(folder, 'large.csv');
    const count = makeLog(large, Number(args.megabytes) * 1e7);
    const run = measure('pullproofOne', large);
    if (run.rows !== count) throw new Error(`${run.rows} rows of ${count}`);
    const size = statSync(large).size;
    lines.push(
      '',
      `A log of ${(size / 1e9).toFixed(1)} GB (${count.toLocaleString('en')} rows) with one channel kept: ${(size / 1e6 / run.seconds).toFixed(0)} MB/s, peak ${(run.peakBytes / 1e6).toFixed(0)} MB.`,
    );
  }
  console.log(lines.join('\n'));
  if (args.write) {
    const page = path.join(here, '../docs/speed.md');
    const old = readFileSync(page, 'utf8');
    const [head, , tail] = old.split(/<!-- table -->|<!-- end of table -->/);
    writeFileSync(page, `${head}<!-- table -->\n${lines.join('\n')}\n<!-- end of table -->${tail}`);
  }
} finally {
  rmSync(folder, { recursive: true, force: true });
}
