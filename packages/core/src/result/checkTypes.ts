import type { LoadCoverage, SteadyHealth } from '../fuel/index.js';

/** Kinds of work that a tuner does from logs. */
export type LogWork = 'idle' | 'cruise' | 'pull';

/** What a log is good for, and what would have to be logged next. */
export interface FitnessResult {
  readonly work: LogWork;
  readonly verdict: 'fit' | 'fit with gaps' | 'not fit';
  /** Pulls, or seconds of warm idle or steady speed. */
  readonly amount: number;
  /** What there is, in words. */
  readonly found: string;
  readonly missing: readonly string[];
  /** What to log next, most useful first. */
  readonly next: readonly string[];
}

/** Pulls that turned over the same ratio of engine speed to road speed. */
export interface GearPulls {
  /** Engine speed over road speed, rpm per m/s; null where no road speed tells. */
  readonly rpmPerMps: number | null;
  readonly pulls: number;
  readonly logs: number;
}

/** What several logs are good for together. */
export interface LogsTogether {
  /** Logs that could be read. */
  readonly logs: number;
  readonly works: readonly FitnessResult[];
  /** Pulls by gear, most first. */
  readonly gears: readonly GearPulls[];
  /** What is still missing for a comparison of two setups; empty where enough was logged. */
  readonly missingForComparison: readonly string[];
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
