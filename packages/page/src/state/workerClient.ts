import type { JobName, Jobs, Problem, Reply } from '../worker/messages.js';

/** A job that was refused, crashed or cancelled, with what a person needs of it. */
export class JobProblem extends Error {
  readonly problem: Problem;
  constructor(problem: Problem) {
    super(problem.what);
    this.problem = problem;
  }
}

interface Waiting {
  readonly done: (made: never) => void;
  readonly refused: (problem: JobProblem) => void;
  readonly onProgress: (what: string, share: number) => void;
}

/** What the worker says of itself once it runs. */
export type Ready = Extract<Reply, { kind: 'ready' }>;

const crashed: Problem = {
  code: 'E_WORKER',
  place: '',
  what: 'The part of the page that computes stopped: the browser may have run out of memory.',
  fix: 'It was started again. Leave the last log out, or use the command line for it.',
  field: null,
};

/** The worker as functions that can be awaited; it is started again when it crashes or a job is cancelled. */
export class WorkerClient {
  readonly #source: string;
  readonly #onReady: (ready: Ready) => void;
  readonly #onRestart: () => void;
  #worker: Worker;
  #waiting: Map<number, Waiting> = new Map();
  #next = 1;

  /**
   * @param source text of the worker's script
   * @param options `onReady`: told when it runs; `onRestart`: told when it lost what it had read
   */
  constructor(source: string, options: { readonly onReady: (ready: Ready) => void; readonly onRestart: () => void }) {
    this.#source = source;
    this.#onReady = options.onReady;
    this.#onRestart = options.onRestart;
    this.#worker = this.#start();
  }

  do<Name extends JobName>(
    job: Name,
    given: Jobs[Name]['given'],
    onProgress: (what: string, share: number) => void = () => {},
  ): Promise<Jobs[Name]['made']> {
    const id = this.#next++;
    return new Promise((done, refused) => {
      this.#waiting.set(id, { done, refused, onProgress });
      this.#worker.postMessage({ id, job, given });
    });
  }

  /** Ends what is being done, at once. */
  cancel(): void {
    this.#restart({ code: 'CANCELLED', place: '', what: 'Cancelled.', fix: '', field: null });
  }

  #start(): Worker {
    const url = URL.createObjectURL(new Blob([this.#source], { type: 'text/javascript' }));
    const worker = new Worker(url);
    worker.onmessage = ({ data }: MessageEvent<Reply>) => this.#take(data);
    worker.onerror = (event) => {
      event.preventDefault();
      this.#restart(crashed);
    };
    URL.revokeObjectURL(url);
    return worker;
  }

  #take(reply: Reply): void {
    if (reply.kind === 'ready') {
      this.#onReady(reply);
      return;
    }
    const waiting = this.#waiting.get(reply.id);
    if (waiting === undefined) return;
    if (reply.kind === 'progress') {
      waiting.onProgress(reply.what, reply.share);
      return;
    }
    this.#waiting.delete(reply.id);
    if (reply.kind === 'done') waiting.done(reply.made as never);
    else waiting.refused(new JobProblem(reply.problem));
  }

  #restart(problem: Problem): void {
    this.#worker.terminate();
    const waiting = [...this.#waiting.values()];
    this.#waiting = new Map();
    this.#worker = this.#start();
    this.#onRestart();
    for (const one of waiting) one.refused(new JobProblem(problem));
  }
}
