// One reader, one file, one process: prints rows, seconds and the process's peak memory as JSON. Exit 3: this reader is not installed.
import { closeSync, createReadStream, openSync, readFileSync, readSync, statSync } from 'node:fs';
import { createRequire } from 'node:module';
import path from 'node:path';

const [, , name, file] = process.argv;

function chunksOf(source) {
  return {
    *[Symbol.iterator]() {
      const handle = openSync(source, 'r');
      const buffer = new Uint8Array(1 << 20);
      try {
        for (;;) {
          const length = readSync(handle, buffer);
          if (length === 0) return;
          yield buffer.subarray(0, length);
        }
      } finally {
        closeSync(handle);
      }
    },
  };
}

async function pullproof(only) {
  const { readLog } = await import('@pullproof/core');
  return () => readLog(chunksOf(file), { path: 'log.csv', sizeBytes: statSync(file).size, only }).rows;
}

async function papaparse() {
  const { default: Papa } = await import('papaparse');
  return () =>
    new Promise((resolve, reject) => {
      let pieces = null;
      let rows = -1;
      const stream = createReadStream(file, 'utf8').pipe(
        Papa.parse(Papa.NODE_STREAM_INPUT, { delimiter: ',', newline: '\n', header: false, skipEmptyLines: true }),
      );
      stream.on('data', (row) => {
        rows++;
        if (rows === 0) {
          pieces = row.map(() => [new Float64Array(16384)]);
          return;
        }
        const at = (rows - 1) % 16384;
        for (let c = 0; c < row.length; c++) {
          if (at === 0 && rows > 1) pieces[c].push(new Float64Array(16384));
          pieces[c].at(-1)[at] = Number(row[c]);
        }
      });
      stream.on('end', () => resolve(rows));
      stream.on('error', reject);
    });
}

async function udsv() {
  const { inferSchema, initParser } = await import('udsv');
  return () => {
    const text = readFileSync(file, 'utf8');
    return initParser(inferSchema(text)).typedCols(text)[0].length;
  };
}

async function duckdb() {
  const folder = process.env.PULLPROOF_DUCKDB;
  if (folder === undefined) process.exit(3);
  const { DuckDBInstance } = createRequire(path.join(path.resolve(folder), 'package.json'))('@duckdb/node-api');
  const connection = await (await DuckDBInstance.create(':memory:')).connect();
  return async () => {
    await connection.run(`create table log as select * from read_csv('${file.replaceAll("'", "''")}')`);
    return Number((await connection.runAndReadAll('select count(*) from log')).getRows()[0][0]);
  };
}

const readers = { pullproof: () => pullproof(undefined), pullproofOne: () => pullproof(['engine-speed']), papaparse, udsv, duckdb };
const read = await readers[name]();
const start = performance.now();
const rows = await read();
const seconds = (performance.now() - start) / 1000;
process.stdout.write(JSON.stringify({ rows, seconds, peakBytes: process.resourceUsage().maxRSS * 1024 }));
process.exit(0);
