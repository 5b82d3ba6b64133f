import type { Finding } from '../findings/index.js';
import type { Standing } from './standing.js';

/** Smallest even change of power that pulls could have shown; null with `status` where there is nothing to go by. */
export interface DetectableChange {
  /** W at the middle of the engine speeds. */
  readonly value: number | null;
  /** Least and most over the engine speeds, W. */
  readonly low: number | null;
  readonly high: number | null;
  /** As a share of power. */
  readonly share: number | null;
  /** Assumed where typical spreads stand in for what no log has shown yet. */
  readonly standing: Standing;
  readonly status?: string;
}

/** One way to go on, and what it takes to show the change asked for. */
export interface PlanOption {
  readonly how:
    | 'more pulls in the same outings'
    | 'both setups in one more outing, alternating'
    | 'more outings of each setup, three pulls each';
  /** Pulls to add to each setup; null where 60 do not suffice. */
  readonly morePullsPerSetup: number | null;
  readonly moreOutingsPerSetup: number;
  /** What could be shown then, share of power; null where it does not suffice. */
  readonly thenShownShare: number | null;
}

/** One part of the planned band. */
export interface PlanPart {
  readonly name: string;
  /** Standard deviation as a share of power, in the middle of the engine speeds. */
  readonly share: number;
  readonly standing: Standing;
  /** Smallest change that could be shown without this part, share of power. */
  readonly shownShareWithout: number;
  readonly remedy: string;
}

export interface PlannedComparison {
  readonly before: string;
  readonly after: string;
  readonly pullsBefore: number;
  readonly pullsAfter: number;
  readonly couldHaveShownW: DetectableChange;
  /** What is asked to be shown. */
  readonly asked: { readonly share: number | null; readonly value: number | null };
  /** Pulls to add to each setup so that the change asked for would be shown; 0 when these pulls already do, null with `status` when none would. */
  readonly morePullsPerSetup: number | null;
  readonly status?: string;
  readonly options: readonly PlanOption[];
  /** What the band would rest on, most worth measuring better first. */
  readonly parts: readonly PlanPart[];
  readonly advice: readonly string[];
}

/** How many more pulls would settle it. SI, ratios 0–1. */
export interface PlanResult {
  readonly schema: 'pullproof/plan@1';
  readonly title: string;
  readonly units: 'metric' | 'imperial';
  /** Probability with which a change is to be shown, and the level of the band that shows it. */
  readonly power: number;
  readonly level: number;
  readonly comparisons: readonly PlannedComparison[];
  readonly findings: readonly Finding[];
}
