import type { CheckedLog, TrialResult } from '@pullproof/core';

/** What the page's own thread asks of the worker, and what comes back: plain data both ways. */

/** A trial as it stands in its file: groups, lists, texts and numbers, quantities as typed. */
export type Draft = { readonly [key: string]: unknown };

/** One line to draw small: x and y each from 0 to 1, y upwards. */
export type Sketch = readonly (readonly [x: number, y: number])[];

/** A column of a log that was not recognized, with its curve. */
export interface UnknownColumn {
  readonly name: string;
  readonly unit: string;
  readonly low: number;
  readonly high: number;
  readonly sketch: Sketch;
  /** Quantities that such values could be, likeliest first, each as a trial file states it. */
  readonly likely: readonly string[];
}

/** A log as read, with what a card shows. */
export interface SeenLog {
  readonly checked: CheckedLog;
  /** Engine speed along each pull, or road speed where engine speed was not logged. */
  readonly pulls: readonly Sketch[];
  readonly unknown: readonly UnknownColumn[];
}

/** What stands in the way: place, cause, remedy. */
export interface Problem {
  readonly code: string;
  readonly place: string;
  readonly what: string;
  readonly fix: string;
  /** Field of the trial that it is about, such as `car.weighed.mass`. */
  readonly field: string | null;
}

export interface Answer {
  readonly result: TrialResult;
  /** The report as the command line writes it. */
  readonly report: string;
  /** Logs that were read anew for it, not taken from what was read before. */
  readonly logsRead: number;
}

export type Topic = 'forecast' | 'reconcile' | 'plan' | 'check' | 'season';

/** A trial file as it was dropped. */
export interface TrialText {
  readonly path: string;
  readonly text: string;
}

/** Requests by name: what is given, what comes back. */
export interface Jobs {
  read: { given: { readonly name: string; readonly file: Blob }; made: SeenLog };
  forget: { given: { readonly name: string }; made: null };
  propose: { given: { readonly names: readonly string[] }; made: Draft };
  open: { given: { readonly text: string }; made: Draft };
  write: { given: { readonly draft: Draft }; made: string };
  answer: { given: { readonly draft: Draft }; made: Answer };
  topic: { given: { readonly topic: Topic; readonly draft: Draft; readonly trials: readonly TrialText[] }; made: string };
  fuelTable: { given: { readonly draft: Draft }; made: string };
}

export type JobName = keyof Jobs;

export type Request = { [Name in JobName]: { readonly id: number; readonly job: Name; readonly given: Jobs[Name]['given'] } }[JobName];

export type Reply =
  | { readonly kind: 'ready'; readonly schema: object; readonly quantities: readonly string[] }
  | { readonly kind: 'progress'; readonly id: number; readonly what: string; readonly share: number }
  | { readonly kind: 'done'; readonly id: number; readonly made: Jobs[JobName]['made'] }
  | { readonly kind: 'refused'; readonly id: number; readonly problem: Problem };
