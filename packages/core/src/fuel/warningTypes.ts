import type { Finding } from '../findings/index.js';

/** One full-load pull as the warnings look at it. Arrays share `timeS`; NaN where a row brings no reading. What is null or left out was not logged. */
export interface WatchedPull {
  /** For people, for example `74mm-a.csv at 41.2 s`. */
  readonly name: string;
  readonly setup?: string;
  readonly path?: string;
  /** The trip it belongs to; null or left out where nobody said. */
  readonly outing?: string | null;
  readonly timeS: Float64Array;
  readonly engineSpeedRpm: Float64Array;
  /** Pressure of the weather, absolute; tells whether the pull was boosted. */
  readonly stationPressurePa?: number | null;
  /** Absolute. */
  readonly manifoldPressurePa?: Float64Array | null;
  /** One array a bank or sensor. */
  readonly lambda?: readonly Float64Array[] | null;
  /** Why the lambda that was logged is none, or is on a scale that it contradicts; such channels are left out of `lambda`. */
  readonly lambdaDoubt?: string | null;
  readonly commandedLambda?: Float64Array | null;
  /** Degrees taken away; the sign a logger gives it does not matter. */
  readonly knockRetardDeg?: Float64Array | null;
  /** After the cooler, or the intake's where there is only that. */
  readonly chargeTemperatureK?: Float64Array | null;
  readonly fuelPressurePa?: Float64Array | null;
  readonly injectorDuty?: Float64Array | null;
  readonly rotorSpeedRpm?: Float64Array | null;
  /** Rotor turns for each turn of the engine; used when the rotor's speed was not logged. */
  readonly driveRatio?: number | null;
}

/** Limits to hold pulls against. What is null or left out is assumed, and listed as assumed. */
export interface WarningLimits {
  readonly targetLambda?: number | null;
  readonly leanestLambda?: number | null;
  readonly maxKnockRetardDeg?: number | null;
  readonly maxChargeTemperatureK?: number | null;
  readonly maxInjectorDuty?: number | null;
  /** No default: a blower's limit is its maker's. */
  readonly maxRotorSpeedRpm?: number | null;
  /** Whether the rail follows manifold pressure. */
  readonly fuelRail?: 'referenced' | 'fixed' | null;
}

export type WarningLevel = 'stop' | 'nothing alarming seen' | 'not measured';

export interface WarningDetail {
  readonly quantity: string;
  readonly level: WarningLevel;
  readonly text: string;
}

/** A limit nobody entered. */
export interface AssumedLimit {
  readonly quantity: string;
  readonly value: number;
  readonly unit: string;
  readonly spread: null;
  readonly source: string;
  readonly where: string;
  /** Field of the trial file that takes a value in its place; null where there is none. */
  readonly field: string | null;
}

/** What one watcher says of all pulls. */
export interface Watched {
  readonly details: readonly WarningDetail[];
  readonly findings: readonly Finding[];
  readonly assumptions: readonly AssumedLimit[];
  /** What must be said in the line itself where nothing alarming was seen. */
  readonly remark?: string;
}

/** The line above every answer, and what it rests on. */
export interface PullWarnings extends Omit<Watched, 'remark'> {
  readonly level: WarningLevel;
  readonly sentence: string;
}
