import type { Standing } from './standing.js';

/** A level at which a channel of a log is cut off: readings there mean "at least" (upper) or "at most" (lower), and enter no average. */
export interface CeilingResult {
  readonly log: string;
  /** Null in `check`, where there are no setups. */
  readonly setup: string | null;
  readonly channel: string;
  readonly quantity: 'manifold-pressure' | 'lambda' | 'air-mass-flow';
  readonly side: 'upper' | 'lower';
  /** SI; a pressure is absolute. */
  readonly value: number;
  readonly unit: string;
  /** `possible`: few samples, or evidence that falls a little short. */
  readonly verdict: 'certain' | 'possible';
  /** Readings of this log that rest on it. */
  readonly samples: number;
  /** Pulls that reach it, over all logs that were looked at together. */
  readonly pulls: number;
  /** Highest boost, gauge, that can be shown with the barometer as it was; null when this is no upper end of manifold pressure. */
  readonly highestBoostPa: number | null;
  readonly explanation: string;
  /** What it may have been above the ceiling, by a model: never a reading. */
  readonly modelEstimate: ModelEstimateResult | null;
}

/** Estimates beyond a ceiling from a censored regression. */
export interface ModelEstimateResult {
  readonly label: string;
  readonly engineSpeedRpm: readonly number[];
  readonly value: readonly (number | null)[];
  readonly low: readonly (number | null)[];
  readonly high: readonly (number | null)[];
  readonly level: number;
}

/** Difference of a quantity, after minus before, against engine speed, with a band for the whole curve at once. */
export interface DifferenceCurve {
  readonly engineSpeedRpm: readonly number[];
  readonly before: readonly (number | null)[];
  readonly after: readonly (number | null)[];
  readonly difference: readonly (number | null)[];
  readonly low: readonly (number | null)[];
  readonly high: readonly (number | null)[];
  readonly level: number;
  readonly simultaneous: boolean;
  /** 1 where a side rests on a sensor's ceiling, so that nothing is claimed of the difference. */
  readonly ceiling: readonly (0 | 1)[];
  /** Why there is no difference or no band, when there is none. */
  readonly status: string | null;
}

/** The blower of a setup. */
export interface BlowerResult {
  /** Rotor turns for each turn of the engine; null when a pulley was not entered. */
  readonly driveRatio: number | null;
  readonly maxRotorSpeedRpm: number | null;
  readonly rotorSpeedAtRedlineRpm: number | null;
  /** Engine speed at which the rotors reach their limit. */
  readonly highestEngineSpeedRpm: number | null;
  /** Fastest the rotors turned in the pulls, by the drive ratio. */
  readonly fastestInPullsRpm: number | null;
}

/** What the pulley change alone should have made of the pressure ratio before, beside what was seen. */
export interface ExpectedRatioResult {
  readonly engineSpeedRpm: readonly number[];
  readonly before: readonly (number | null)[];
  readonly expected: readonly (number | null)[];
  /** From a charge that stays as cool as it was to one that takes all the heat that is added, over the efficiencies that a blower may have. */
  readonly low: readonly (number | null)[];
  readonly high: readonly (number | null)[];
  /** Plain proportion to the drive ratio, heat not counted. */
  readonly withoutHeat: readonly (number | null)[];
  readonly seen: readonly (number | null)[];
  readonly standing: Standing;
  /** Low, middle and top of these engine speeds, each judged by itself; the numbers of each are those of its one engine speed. */
  readonly parts: readonly PulleyPart[];
  /** In words: what was expected, what was seen. */
  readonly sentence: string;
}

/** What a pulley made of the pressure ratio at one engine speed. */
export interface PulleyPart {
  readonly part: 'low' | 'middle' | 'top';
  /** The engine speed that stands for the part: its share of what was expected is the part's median. */
  readonly engineSpeedRpm: number;
  readonly before: number;
  readonly expected: number;
  readonly seen: number;
  readonly judged: 'less' | 'as expected' | 'more';
  /** From where up all that was seen is less than expected; null where it is not the top that falls behind. */
  readonly behindFromRpm: number | null;
}

/** Boost of two setups beside each other. */
export interface PressureComparison {
  readonly manifoldPressurePa: DifferenceCurve;
  readonly boostPa: DifferenceCurve;
  readonly pressureRatio: DifferenceCurve;
  readonly driveRatio: { readonly before: number | null; readonly after: number | null };
  /** Null when the drive ratio is not known of both, or did not change. */
  readonly expectedRatio: ExpectedRatioResult | null;
}
