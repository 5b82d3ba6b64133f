import type { Standing } from './standing.js';

/** One input or other source of error, and what it does to a power. */
export interface BudgetPart {
  readonly name: string;
  /** Best value and one standard uncertainty of the input itself; null for what is no input. */
  readonly value: number | null;
  readonly spread: number | null;
  readonly unit: string;
  readonly standing: Standing;
  /** Change of the power for one standard uncertainty, W. */
  readonly contributionW: number;
  /** Share of the variance. */
  readonly share: number;
  /** What would shrink it. */
  readonly remedy: string;
}

/** What the uncertainty of a setup's power, or of a difference, is made of at one engine speed. Parts largest first. */
export interface Budget {
  readonly engineSpeedRpm: number;
  /** Power or difference there, W. */
  readonly valueW: number;
  /** One standard uncertainty, W: the parts together. */
  readonly spreadW: number;
  readonly parts: readonly BudgetPart[];
}

/** First order held against draws of all inputs (JCGM 101); inputs only, since noise and repeats are normal by construction. */
export interface BudgetCheck {
  readonly firstOrderW: number;
  readonly drawnW: number;
  /** By how much the draws' mean lies beside the best value, W. */
  readonly shiftW: number;
  readonly agrees: boolean;
  /** Why not, where they do not agree. */
  readonly reason: string | null;
}
