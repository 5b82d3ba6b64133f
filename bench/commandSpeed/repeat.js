// One job over the same logs, several times in one process: prints the seconds of each time as JSON. node repeat.js JOB RUNS FILE...
import { readFileSync } from 'node:fs';

const [, , job, runs, ...files] = process.argv;

/** The product's own command line as a function, its output thrown away. */
async function pullproof(args) {
  const { run } = await import('pullproof');
  const output = { write: () => {}, isTTY: false, columns: 80 };
  const io = { cwd: process.cwd(), env: {}, stdout: output, stderr: output, stdin: () => [], now: () => 0 };
  return async () => {
    const exit = await run(args, io);
    if (exit !== 0) throw new Error(`exit ${exit}`);
  };
}

const jobs = {
  check: () => pullproof(['check', files[0]]),
  compare: () => pullproof(['compare', files[0], '--json', 'warm.json', '--report', 'warm.html']),
  async papaparse() {
    const { default: Papa } = await import('papaparse');
    return () => Papa.parse(readFileSync(files[0], 'utf8'), { header: false, delimiter: ',', dynamicTyping: true });
  },
  async udsv() {
    const { inferSchema, initParser } = await import('udsv');
    return () => {
      const text = readFileSync(files[0], 'utf8');
      return initParser(inferSchema(text)).typedCols(text);
    };
  },
  async duckdb() {
    const { DuckDBInstance } = await import('@duckdb/node-api');
    const connection = await (await DuckDBInstance.create(':memory:')).connect();
    return () => connection.run(`create or replace table log as select * from read_csv('${files[0].replaceAll("'", "''")}')`);
  },
};

const work = await jobs[job]();
const seconds = [];
for (let i = 0; i < Number(runs); i++) {
  const start = performance.now();
  await work();
  seconds.push((performance.now() - start) / 1000);
}
process.stdout.write(JSON.stringify(seconds));
process.exit(0);
