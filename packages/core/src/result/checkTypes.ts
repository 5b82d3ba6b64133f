import type { LoadCoverage, SteadyHealth } from '../fuel/index.js';

/** Kinds of work that a tuner does from logs. */
export type LogWork = 'idle' | 'cruise' | 'pull';

/** What a log is good for, and what would have to be logged next. */
export interface FitnessResult {
  readonly work: LogWork;
  readonly verdict: 'fit' | 'fit with gaps' | 'not fit';
  /** What there is, in words. */
  readonly found: string;
  readonly missing: readonly string[];
  /** What to log next, most useful first. */
  readonly next: readonly string[];
}

/** Which cells of engine speed × load a log visited. */
export interface CoverageResult extends LoadCoverage {
  /** What stands for load; SI, a pressure absolute (of a gauge channel by the standard atmosphere). */
  readonly load: 'manifold-pressure' | 'load';
  readonly unit: string;
}

/** Idle and cruise of a log; null where there was too little of it. */
export interface SteadyResult {
  readonly idle: SteadyHealth | null;
  readonly cruise: SteadyHealth | null;
}
