import type { Standing } from './standing.js';

/** Something that could have moved the difference of two setups without the part that was changed. */
export interface ExplanationResult {
  /** Stable name, such as `air` or `wind not entered`. */
  readonly name: string;
  readonly standing: Standing;
  /** What it is, as the rest of a sentence after "because". */
  readonly sentence: string;
  /** What would settle it, starting with a verb. */
  readonly settle: string;
  /**
   * `takes away`: by itself it could have made a difference that would otherwise be claimed; `takes away with others`: only together with
   * those of the same word; `may hide`: it could have hidden a change worth having; `note`: it could not have made this difference.
   */
  readonly effect: 'takes away' | 'takes away with others' | 'may hide' | 'note';
  /** What it may hide; left out where it hides nothing. */
  readonly hides?: 'gain' | 'loss' | 'either';
  /** What it could have made, on the engine speeds of `wheelPowerW`, W; null where it has no bound, so that nothing is claimed there. */
  readonly lowW: readonly (number | null)[];
  readonly highW: readonly (number | null)[];
  /** Engine speeds at which it has no bound; left out where it has one everywhere. */
  readonly unboundedRpm?: readonly [from: number, to: number];
  /** Engine speeds at which it takes a claim away, by itself or with others; left out where it takes none. */
  readonly takesRpm?: readonly [from: number, to: number];
}

/** Why a claim could not be made, or what an answer without one may hide; most important first. */
export interface BecauseResult {
  /** Reason, as in `reasons`. */
  readonly code: string;
  /** Name of the explanation that it rests on; null for a reason that is none. */
  readonly explanation: string | null;
  /** The rest of a sentence after "because". */
  readonly sentence: string;
  /** What would settle it; empty where nothing does. */
  readonly settle: string;
}
