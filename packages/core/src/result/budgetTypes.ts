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

/** What pulls both ways along a road in one outing say about the wind, and what it leaves in their mean power. */
export interface TwoWayWind {
  readonly outing: string;
  /** Pulls along the first direction, and against it. */
  readonly pullsEachWay: readonly [number, number];
  /** Wind along the road beside what was entered, positive against the first direction, with one standard uncertainty. */
  readonly windMps: number;
  readonly windSpreadMps: number;
  readonly engineSpeedRpm: readonly number[];
  /** By how much the mean of equally many pulls each way reads low, W: the square of the wind. */
  readonly squareW: readonly number[];
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
