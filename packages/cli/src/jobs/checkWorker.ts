import { parentPort, workerData } from 'node:worker_threads';
import { checkOne, type Wanted } from './checkOne.js';

/** What a worker is sent: one log of the list. */
export interface Task {
  readonly index: number;
  readonly path: string;
}

const port = parentPort;
if (port === null) throw new Error('This file runs as a worker.');
// Standard input belongs to the command itself, which reads a log of that name.
const io = { stdin: () => [] };
port.on('message', async ({ index, path }: Task) => {
  port.postMessage({ index, outcome: await checkOne(path, workerData as Wanted, io) });
});
