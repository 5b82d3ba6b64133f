import { computed, type ReadonlySignal, type Signal, signal } from '@preact/signals';
import type { Answer, Draft, Problem, SeenLog, Topic, TrialText } from '../worker/messages.js';
import { type FieldPath, logsOf, merged, namedLogsOf, setupsOf, withFirst, withLogIn, withoutLog, withValue } from './draft.js';
import { keep, kept, wipe } from './keep.js';
import { JobProblem, WorkerClient } from './workerClient.js';

/** A file that was dropped, and how far it is. */
export interface LogCard {
  readonly name: string;
  readonly file: Blob;
  readonly state: 'waiting' | 'reading' | 'read' | 'refused';
  readonly seen: SeenLog | null;
  readonly problem: Problem | null;
}

export interface Shown {
  readonly answer: Answer | null;
  readonly working: boolean;
  /** Why there is no answer to the trial as it stands now; the answer before it stays in sight. */
  readonly problem: Problem | null;
}

const emptyDraft: Draft = { trial: 1 };

/** The page's state, and all that a person can do to it. */
export class Store {
  readonly logs: Signal<readonly LogCard[]> = signal([]);
  readonly draft: Signal<Draft> = signal(emptyDraft);
  readonly shown: Signal<Shown> = signal({ answer: null, working: false, problem: null });
  readonly progress: Signal<{ readonly what: string; readonly share: number } | null> = signal(null);
  readonly notice: Signal<string> = signal('');
  readonly schema: Signal<object | null> = signal(null);
  readonly quantities: Signal<readonly string[]> = signal([]);
  readonly topics: Signal<{ readonly [topic in Topic]?: string | Problem }> = signal({});
  /** Trial files as dropped: several of them are a season. */
  readonly trials: Signal<readonly TrialText[]> = signal([]);
  /** Logs that the trial names and that were not dropped. */
  readonly missing: ReadonlySignal<readonly string[]> = computed(() => {
    const here = new Set(this.logs.value.map(({ name }) => name));
    return namedLogsOf(this.draft.value).filter((name) => !here.has(name));
  });

  readonly #worker: WorkerClient;
  #asked = 0;
  #timer: ReturnType<typeof setTimeout> | undefined;
  #busy = false;

  constructor(workerSource: string) {
    this.#worker = new WorkerClient(workerSource, {
      onReady: ({ schema, quantities }) => {
        this.schema.value = schema;
        this.quantities.value = quantities;
      },
      onRestart: () => this.#readAgain(),
    });
  }

  /** Takes up what was kept from the last visit. */
  async restore(): Promise<void> {
    const last = await kept();
    if (last === undefined || this.logs.value.length > 0) return;
    this.draft.value = last.draft;
    await this.addFiles(last.files.map(({ name, file }) => new File([file], name)));
    if (this.logs.value.length > 0) this.notice.value = 'Taken up from your last visit; it was kept in this browser only.';
  }

  /** Logs and trial files, as dropped or chosen. */
  async addFiles(files: readonly File[]): Promise<void> {
    const trials = files.filter(({ name }) => /\.ya?ml$/i.test(name));
    const added = files.filter((file) => !trials.includes(file)).map((file) => this.#card(file));
    this.logs.value = [...this.logs.value, ...added];
    for (const file of trials) await this.#openTrial(file);
    for (const card of added) await this.#read(card);
    await this.#propose();
    this.#ask(0);
  }

  removeLog(name: string): void {
    this.logs.value = this.logs.value.filter((card) => card.name !== name);
    void this.#worker.do('forget', { name });
    this.#edit(withoutLog(this.draft.value, name));
  }

  moveLog(name: string, setup: number): void {
    this.#edit(withLogIn(this.draft.value, name, setup, 'after the change'));
  }

  putFirst(setup: number): void {
    this.#edit(withFirst(this.draft.value, setup));
  }

  /** Enters a value of the trial as typed; an empty one takes the field out. */
  enter(path: FieldPath, value: unknown): void {
    this.#edit(withValue(this.draft.value, path, value === '' ? undefined : value) ?? emptyDraft);
  }

  cancel(): void {
    this.#worker.cancel();
  }

  async startAfresh(): Promise<void> {
    for (const { name } of this.logs.value) void this.#worker.do('forget', { name });
    this.logs.value = [];
    this.draft.value = emptyDraft;
    this.trials.value = [];
    this.shown.value = { answer: null, working: false, problem: null };
    this.topics.value = {};
    this.#asked++;
    await wipe();
    this.notice.value = 'Wiped: nothing of it is kept in this browser.';
  }

  /** A text to save: the trial as its file, or the fueling error as a table. */
  async textOf(what: 'trial' | 'fuelTable'): Promise<string> {
    return this.#worker.do(what === 'trial' ? 'write' : 'fuelTable', { draft: this.draft.value });
  }

  async openTopic(topic: Topic): Promise<void> {
    try {
      const page = await this.#worker.do('topic', { topic, draft: this.draft.value, trials: this.trials.value }, this.#tell);
      this.topics.value = { ...this.topics.value, [topic]: page };
    } catch (error) {
      this.topics.value = { ...this.topics.value, [topic]: problemIn(error) };
    } finally {
      this.progress.value = null;
    }
  }

  readonly #tell = (what: string, share: number): void => {
    this.progress.value = { what, share };
  };

  #card(file: File): LogCard {
    let name = file.name;
    for (let n = 2; this.logs.value.some((card) => card.name === name); n++) name = file.name.replace(/(\.[^.]*)?$/, ` (${n})$1`);
    return { name, file, state: 'waiting', seen: null, problem: null };
  }

  #change(name: string, change: Partial<LogCard>): void {
    this.logs.value = this.logs.value.map((card) => (card.name === name ? { ...card, ...change } : card));
  }

  async #read({ name, file }: LogCard): Promise<void> {
    if (!this.logs.value.some((card) => card.name === name)) return;
    this.#change(name, { state: 'reading', problem: null });
    try {
      const seen = await this.#worker.do('read', { name, file }, this.#tell);
      this.#change(name, { state: 'read', seen });
    } catch (error) {
      this.#change(name, { state: 'refused', problem: problemIn(error) });
    } finally {
      this.progress.value = null;
    }
  }

  async #openTrial(file: File): Promise<void> {
    try {
      const text = await file.text();
      this.draft.value = await this.#worker.do('open', { text });
      this.trials.value = [...this.trials.value.filter(({ path }) => path !== file.name), { path: file.name, text }];
    } catch (error) {
      const { place, what, fix } = problemIn(error);
      this.notice.value = `${file.name} ${place} ${what} ${fix}`;
    }
  }

  /** Puts logs that no setup has into setups, by name and content. */
  async #propose(): Promise<void> {
    const placed = new Set(namedLogsOf(this.draft.value));
    const names = this.logs.value.filter(({ name, state }) => state === 'read' && !placed.has(name)).map(({ name }) => name);
    if (names.length === 0) return;
    this.draft.value = merged(this.draft.value, await this.#worker.do('propose', { names }));
  }

  #edit(draft: Draft): void {
    this.draft.value = draft;
    this.notice.value = '';
    this.#ask(250);
  }

  /** Asks for the answer to the trial as it stands, once no further change came for a moment. */
  #ask(afterMs: number): void {
    this.#asked++;
    this.topics.value = {};
    clearTimeout(this.#timer);
    this.#timer = setTimeout(() => void this.#answer(), afterMs);
  }

  async #answer(): Promise<void> {
    if (this.#busy) return;
    this.#busy = true;
    try {
      for (let asked = -1; asked !== this.#asked; ) {
        asked = this.#asked;
        await this.#answerOnce(asked);
      }
    } finally {
      this.#busy = false;
    }
  }

  async #answerOnce(asked: number): Promise<void> {
    const draft = this.#ready();
    if (draft === null) {
      this.shown.value = { answer: null, working: false, problem: null };
      return;
    }
    this.shown.value = { ...this.shown.value, working: true };
    let next: Shown;
    try {
      const answer = await this.#worker.do('answer', { draft }, this.#tell);
      next = { answer, working: false, problem: null };
    } catch (error) {
      next = { answer: this.shown.value.answer, working: false, problem: problemIn(error) };
    }
    this.progress.value = null;
    if (asked !== this.#asked) return;
    this.shown.value = next;
    const files = this.logs.value.map(({ name, file }) => ({ name, file }));
    await keep({ draft: this.draft.value, files });
  }

  /** The trial with the logs that are here and readable; null where nothing is left to ask. */
  #ready(): Draft | null {
    const good = new Set(this.logs.value.filter(({ state }) => state === 'read').map(({ name }) => name));
    const draft = logsOf(this.draft.value)
      .filter((name) => !good.has(name))
      .reduce(withoutLog, this.draft.value);
    return setupsOf(draft).length === 0 ? null : draft;
  }

  async #readAgain(): Promise<void> {
    for (const card of this.logs.value) if (card.state === 'read') await this.#read(card);
  }
}

function problemIn(error: unknown): Problem {
  if (error instanceof JobProblem) return error.problem;
  return { code: 'E_INTERNAL', place: '', what: `This is a bug in Pullproof: ${String(error)}.`, fix: 'Reload the page.', field: null };
}
