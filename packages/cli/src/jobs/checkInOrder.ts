import { existsSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { Worker } from 'node:worker_threads';
import type { Io } from '../io.js';
import { checkOne, failed, type Outcome, type Wanted } from './checkOne.js';
import { asProblem } from './problems.js';

/** Logs that may be ready before their turn, for each worker: it bounds what is held. */
const ahead = 4;
/** Logs sent to a worker at a time: the next one is there when it has done one, so that it never waits for an answer. */
const sentAtOnce = 2;

/** Where the worker's file is: beside this one when built, among the built files when this one runs as a source. */
function workerFile(): URL {
  const beside = new URL('./checkWorker.js', import.meta.url);
  return existsSync(fileURLToPath(beside)) ? beside : new URL('../../dist/jobs/checkWorker.js', import.meta.url);
}

/**
 * Checks logs over worker threads and gives what became of them in their own order, whichever is done first. A worker that dies takes only its log with it.
 *
 * @param paths logs; standard input as `-` is read here
 * @param count how many workers, 1 or more
 */
export async function* checkInOrder(
  paths: readonly string[],
  wanted: Wanted,
  count: number,
  io: Pick<Io, 'stdin'>,
): AsyncGenerator<Outcome> {
  const done = new Map<number, Outcome>();
  /** What each worker was sent and has not answered, in its order. */
  const workers = new Map<Worker, number[]>();
  const left = paths.flatMap((path, index) => (path === '-' ? [] : [index])).reverse();
  let given = 0;
  let wake = (): void => {};
  const finish = (index: number, outcome: Outcome): void => {
    done.set(index, outcome);
    wake();
  };
  const feed = (worker: Worker): void => {
    const sent = workers.get(worker)!;
    while (sent.length < sentAtOnce && left.length > 0 && left.at(-1)! < given + ahead * count) {
      const index = left.pop()!;
      sent.push(index);
      worker.postMessage({ index, path: paths[index]! });
    }
  };
  const hire = (): void => {
    const worker = new Worker(workerFile(), { workerData: wanted });
    const lost = (cause: unknown): void => {
      const sent = workers.get(worker);
      workers.delete(worker);
      if (sent === undefined) return;
      const [died, ...unread] = sent;
      left.push(...unread.reverse());
      if (died !== undefined) finish(died, failed(paths[died]!, asProblem(cause), wanted));
      if (left.length > 0) hire();
    };
    worker.on('message', ({ index, outcome }: { index: number; outcome: Outcome }) => {
      const sent = workers.get(worker);
      if (sent === undefined) return;
      sent.splice(sent.indexOf(index), 1);
      feed(worker);
      finish(index, outcome);
    });
    worker.on('error', lost);
    worker.on('exit', (code) => lost(new Error(`a worker ended with ${code}`)));
    workers.set(worker, []);
    feed(worker);
  };
  try {
    for (let i = 0; i < Math.min(count, paths.length); i++) hire();
    while (given < paths.length) {
      if (paths[given] === '-') done.set(given, await checkOne('-', wanted, io));
      while (!done.has(given)) await new Promise<void>((resolve) => (wake = resolve));
      const outcome = done.get(given)!;
      done.delete(given);
      given++;
      yield outcome;
      for (const worker of workers.keys()) feed(worker);
    }
  } finally {
    const hired = [...workers.keys()];
    workers.clear();
    await Promise.all(hired.map((worker) => worker.terminate()));
  }
}
