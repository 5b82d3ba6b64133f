// Feeds changed trials, slips, formulas, logs and arguments to Pullproof: node bench/fuzz.js [--cases N] [--processes N] [--kind KIND] [--from N] [--minutes N]
// A case is made from its kind and its number alone: --kind yaml --from 123 --cases 1 makes that one again. Needs a build.
import { mkdirSync, writeFileSync } from 'node:fs';
import { parseArgs } from 'node:util';
import { Worker } from 'node:worker_threads';

/** Share of the cases that each kind gets; whole runs cost a hundred times what a reader costs. */
const shares = { trial: 0.01, relation: 0.01, arguments: 0.01, log: 0.1, yaml: 0.25, slips: 0.15, formula: 0.47 };
/** A case that takes longer than this is given up as hanging. */
const hangMs = 120_000;
/** How often the cases are looked at. */
const lookMs = 500;

const { values } = parseArgs({
  options: {
    cases: { type: 'string', default: '100000' },
    processes: { type: 'string', default: '0' },
    kind: { type: 'string' },
    from: { type: 'string', default: '0' },
    minutes: { type: 'string', default: '60' },
    out: { type: 'string', default: 'out/fuzz.json' },
  },
});
const until = performance.now() + Number(values.minutes) * 60_000;

/** @typedef {{ kind: string, processes: boolean, asked: number, run: number, seconds: number, reached: Record<string, number>, failures: object[] }} Tally */

/** @param {string} kind @param {number} cases @param {boolean} processes @returns {Promise<Tally>} */
async function campaign(kind, cases, processes) {
  const start = performance.now();
  const first = Number(values.from);
  /** @type {object[]} */
  const failures = [];
  /** @type {Map<string, number>} */
  const reached = new Map();
  let next = first;
  while (next < first + cases && performance.now() < until)
    next = await stretch(kind, { from: next, to: first + cases, processes, failures, reached });
  const seconds = Math.round((performance.now() - start) / 100) / 10;
  return { kind, processes, asked: cases, run: next - first, seconds, reached: Object.fromEntries(reached), failures };
}

/**
 * Runs cases in a worker until they are done, one hangs, or time is over.
 * @param {string} kind @param {{ from: number, to: number, processes: boolean, failures: object[], reached: Map<string, number> }} span @returns {Promise<number>} the case to go on with
 */
function stretch(kind, { from, to, processes, failures, reached }) {
  const at = new Int32Array(new SharedArrayBuffer(4));
  at[0] = from;
  const worker = new Worker(new URL('fuzz/worker.js', import.meta.url), { workerData: { kind, from, to, processes, at } });
  return new Promise((resolve) => {
    let [seen, looks] = [-1, 0];
    let next = to;
    // Looks are counted, not time: a process that was stopped for a while and goes on has not hung.
    const watch = setInterval(() => {
      const index = Atomics.load(at, 0);
      [seen, looks] = index === seen ? [seen, looks + 1] : [index, 0];
      const hangs = looks * lookMs > hangMs;
      if (!hangs && performance.now() < until) return;
      clearInterval(watch);
      if (hangs) failures.push({ kind, index, what: `hangs for ${hangMs / 1000} s` });
      next = hangs ? index + 1 : index;
      void worker.terminate();
    }, lookMs);
    /** @type {[string, number][]} */
    let counted = [];
    worker.on('message', (message) => {
      if (message.failure) failures.push(message.failure);
      else counted = message.reached;
    });
    worker.on('error', (problem) => {
      next = Atomics.load(at, 0) + 1;
      failures.push({ kind, index: next - 1, what: `the process ended: ${problem.stack}` });
    });
    worker.on('exit', () => {
      clearInterval(watch);
      for (const [far, count] of counted) reached.set(far, (reached.get(far) ?? 0) + count);
      resolve(next);
    });
  });
}

const tallies = [];
const cases = Number(values.cases);
const kinds = values.kind === undefined ? Object.entries(shares) : [/** @type {const} */ ([values.kind, 1])];
/** @type {[string, number, boolean][]} */
const work = [
  ...kinds.map(([kind, share]) => /** @type {[string, number, boolean]} */ ([kind, Math.round(cases * share), false])),
  ...['arguments', 'trial'].map(
    (kind) => /** @type {[string, number, boolean]} */ ([kind, Math.round(Number(values.processes) / 2), true]),
  ),
];
for (const [kind, count, processes] of work) {
  if (count === 0) continue;
  const tally = await campaign(kind, count, processes);
  tallies.push(tally);
  console.log(
    `${kind}${processes ? ' as processes' : ''}: ${tally.run} of ${tally.asked} in ${tally.seconds} s, ${tally.failures.length} broken`,
  );
  const counted = Object.values(tally.reached).reduce((sum, count) => sum + count, 0);
  for (const [far, count] of Object.entries(tally.reached)) console.log(`  ${((100 * count) / counted).toFixed(1)} % ${far}`);
  for (const failure of tally.failures.slice(0, 10)) console.log(JSON.stringify(failure).slice(0, 700));
  mkdirSync(new URL('../out/', import.meta.url), { recursive: true });
  writeFileSync(values.out, JSON.stringify(tallies, null, 1));
}
process.exitCode = tallies.some(({ failures, run, asked }) => failures.length > 0 || run < asked) ? 1 : 0;
