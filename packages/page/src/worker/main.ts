import './noEval.js';

import { quantityUnits, trialJsonSchema } from '@pullproof/core';
import type { JobName, Jobs, Reply, Request } from './messages.js';
import { problemOf } from './problem.js';
import { workbench } from './workbench.js';

/** The worker's own thread: one request after the other. */
const jobs = workbench();
const send = (reply: Reply): void => self.postMessage(reply);

self.addEventListener('message', ({ data }: MessageEvent<Request>) => {
  const { id, job, given } = data;
  let told = 0;
  const tell = (what: string, share: number): void => {
    const now = performance.now();
    if (now - told < 60 && share < 1) return;
    told = now;
    send({ kind: 'progress', id, what, share });
  };
  try {
    const work = jobs[job] as (given: Jobs[JobName]['given'], tell: (what: string, share: number) => void) => Jobs[JobName]['made'];
    send({ kind: 'done', id, made: work(given, tell) });
  } catch (error) {
    send({ kind: 'refused', id, problem: problemOf(error) });
  }
});

send({ kind: 'ready', schema: trialJsonSchema(), quantities: Object.keys(quantityUnits) });
