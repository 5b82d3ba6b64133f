import { spawn } from 'node:child_process';
import { fileURLToPath } from 'node:url';
import { parentPort, workerData } from 'node:worker_threads';
import { run } from '../../packages/cli/dist/index.js';
import { runCase } from './campaign.js';
import { commandKinds } from './commandKinds.js';
import { readerKinds } from './kinds.js';
import { material } from './material.js';

/** @type {{ kind: string, from: number, to: number, processes: boolean, at: Int32Array }} */
const { kind, from, to, processes, at } = workerData;
const bin = fileURLToPath(new URL('../../packages/cli/bin/pullproof.js', import.meta.url));

/** @type {import('./commandKinds.js').Command} */
async function inProcess(args, folder) {
  /** @type {string[]} */
  const out = [];
  /** @type {string[]} */
  const err = [];
  const stream = (/** @type {string[]} */ texts) => ({
    write: (/** @type {string} */ text) => void texts.push(text),
    isTTY: false,
    columns: 80,
  });
  const io = { cwd: folder, env: {}, stdout: stream(out), stderr: stream(err), stdin: () => [], now: () => 0 };
  const exit = await run(args, io);
  return { exit, out: out.join(''), err: err.join('') };
}

/** @type {import('./commandKinds.js').Command} */
function asProcess(args, folder) {
  return new Promise((resolve) => {
    // The kernel ends a process that uses more processor time than the longest job with sound inputs and two seconds.
    const typed = [process.execPath, bin, ...args.map((arg) => arg.replaceAll('\0', ''))];
    const child = spawn('/bin/sh', ['-c', 'ulimit -t 8; exec "$@"', 'sh', ...typed], { cwd: folder, stdio: ['ignore', 'pipe', 'pipe'] });
    let [out, err] = ['', ''];
    child.stdout.setEncoding('utf8').on('data', (text) => {
      out += text;
    });
    child.stderr.setEncoding('utf8').on('data', (text) => {
      err += text;
    });
    child.on('close', (code, signal) => resolve({ exit: code ?? -1, out, err: signal === null ? err : `${err} ended by ${signal}` }));
  });
}

const made = material();
const ofCommands = commandKinds(made, processes ? asProcess : inProcess);
const kinds = { ...(await readerKinds(made)), ...ofCommands };
const chosen = /** @type {import('./kinds.js').Kind} */ (kinds[/** @type {'yaml'} */ (kind)]);
let index = from;
/** @type {Map<string, number>} */
const counts = new Map();
process.on(
  'warning',
  ({ name, message }) =>
    name === 'MaxListenersExceededWarning' ||
    parentPort?.postMessage({ failure: { kind, index, what: `warned near this case: ${name} ${message}` } }),
);
for (; index < to; index++) {
  Atomics.store(at, 0, index);
  const { reached, failure } = await runCase(kind, chosen, index);
  counts.set(reached, (counts.get(reached) ?? 0) + 1);
  if (failure !== null) parentPort?.postMessage({ failure });
  // Told now and then: the worker may be ended in between.
  if (index % 100 === 99 || index === to - 1) parentPort?.postMessage({ reached: [...counts] });
}
ofCommands.end();
