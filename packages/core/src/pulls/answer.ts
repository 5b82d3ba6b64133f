import type { Finding } from '../findings/index.js';
import { onceForEach, type Quantity } from '../log/index.js';
import type { TrialResult } from '../result/index.js';
import type { Evidence } from './evidence.js';

/** Whether a question could be answered; where not, what stood in the way. */
export type AnswerStatus =
  | { readonly is: 'answered' }
  | { readonly is: 'cannot tell'; readonly why: string }
  | { readonly is: 'not logged'; readonly channels: readonly Quantity[] }
  | { readonly is: 'not applicable'; readonly why: string };

/** The answer to one question about a trial, with what somebody should know beside it and what was assumed for it. */
export interface Answered<T> {
  readonly answer: T;
  readonly status: AnswerStatus;
  readonly findings: readonly Finding[];
  readonly assumptions: TrialResult['assumptions'];
}

/** A question: from the evidence of a trial to its answer. Worked out once for each evidence, however many other answers build on it. */
export type Question<T> = (evidence: Evidence) => Answered<T>;

/** A question from the work that answers it; what the work leaves out is nothing to tell. */
export function question<T>(work: (evidence: Evidence) => Pick<Answered<T>, 'answer'> & Partial<Answered<T>>): Question<T> {
  return onceForEach((evidence: Evidence) => ({ status: { is: 'answered' }, findings: [], assumptions: [], ...work(evidence) }));
}

/** Status of what compares setups where there is but one. */
export const oneSetup: AnswerStatus = { is: 'not applicable', why: 'the trial has one setup' };
