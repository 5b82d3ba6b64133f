import type { TopEndCause } from '../boost/index.js';

/** Readings of one pull in one window of engine speed. */
export interface TopEndSamples {
  readonly setup: string;
  readonly log: string;
  /** First and last reading, s on the log's clock. */
  readonly startS: number;
  readonly endS: number;
  readonly fromRpm: number;
  readonly toRpm: number;
  readonly window: 'low' | 'top';
  readonly count: number;
  /** Mean of the readings, SI as the observation's `unit`. */
  readonly mean: number;
}

/** Mean over the pulls of a setup against engine speed, for a picture; null where there is no reading. */
export interface TopEndTrace {
  readonly setup: string;
  readonly engineSpeedRpm: readonly number[];
  readonly value: readonly (number | null)[];
}

/** One thing that was looked at: its course from the low to the top window of engine speed. */
export interface TopEndObservation {
  /** Referred to by reasons; unique within an analysis, such as `manifold-pressure`. */
  readonly id: string;
  /** For people, such as `Manifold pressure`. */
  readonly name: string;
  /** Names of the log's channels that it rests on. */
  readonly channels: readonly string[];
  /** SI unit of the values; `1` for shares and ratios. */
  readonly unit: string;
  /** Means of each setup in the low and the top window; `before` is null for a single setup. */
  readonly before: { readonly low: number | null; readonly top: number | null } | null;
  readonly after: { readonly low: number | null; readonly top: number | null };
  /** What is weighed: the course from low to top, after less before where there is a before. Relative (natural logarithm) where `trendUnit` is `1`, else in `trendUnit`. */
  readonly trend: number;
  /** One standard uncertainty of the trend: readings and pull-to-pull spread. */
  readonly trendSpread: number;
  readonly trendUnit: string;
  readonly samples: readonly TopEndSamples[];
  readonly traces: readonly TopEndTrace[];
  /** In words with values and units. */
  readonly sentence: string;
}

/** What one observation says about one cause. */
export interface TopEndReason {
  /** `id` of the observation. */
  readonly observation: string;
  readonly speaks: 'for' | 'against';
  /** Natural logarithm of how much likelier the observation is under this cause than under the average of those weighed. */
  readonly points: number;
  /** What was seen and what the cause would show, with values and units. */
  readonly sentence: string;
}

/** One cause, weighed. */
export interface TopEndCauseResult {
  readonly cause: TopEndCause;
  /** For people, such as `Belt slip`. */
  readonly name: string;
  /** From 1, best supported first. */
  readonly rank: number;
  /** Sum of the prior and all reasons, less that of the best supported: 0 for the leader, below for the others. */
  readonly points: number;
  /** Softmax of the points over all causes weighed: how the stated model shares out its belief. Not a probability of the real world. */
  readonly weight: number;
  readonly words: 'well supported' | 'supported' | 'open' | 'little supports it' | 'the log speaks against it';
  /** Strongest first. */
  readonly speaksFor: readonly TopEndReason[];
  readonly speaksAgainst: readonly TopEndReason[];
  /** What would tell for this cause and was not logged or not entered, in words. */
  readonly notLogged: readonly string[];
  /** Channel or test that would decide it, in words. */
  readonly wouldDecide: string;
}

/** Whether anything fades, and how clearly. */
export interface TopEndFade {
  /** What fades: the gain in power, boost alone, power past its peak (single setup), or nothing. */
  readonly kind: 'gain' | 'boost' | 'power' | 'nothing' | 'unclear';
  readonly lowRpm: readonly [from: number, to: number] | null;
  readonly topRpm: readonly [from: number, to: number] | null;
  /** Single setup: the end of the pulls, and the stretch before it, as wide, in which power was largest: those are held against each other. Null in a comparison. */
  readonly endRpm: readonly [from: number, to: number] | null;
  readonly peakRpm: readonly [from: number, to: number] | null;
  /** Comparison: mean difference as a share of the power before, in each window. Single setup: torque in each window over its largest. */
  readonly lowShare: number | null;
  readonly topShare: number | null;
  /** Comparison: torque, low less top. Single setup: power, the largest before less the end, below zero where it rises to the end. With one standard uncertainty. */
  readonly fade: number | null;
  readonly fadeSpread: number | null;
}

/** What limits the top end: of one setup by itself, or of one against another. */
export interface TopEndAnalysis {
  /** Null for a setup by itself. */
  readonly before: string | null;
  readonly after: string;
  readonly fade: TopEndFade;
  readonly answer: 'one cause leads' | 'cannot tell' | 'nothing fades' | 'too few data';
  /** The answer in a sentence or two. */
  readonly sentence: string;
  /** The cause that leads, or those that are not told apart. Empty where nothing fades. */
  readonly leading: readonly TopEndCause[];
  /** Points by which a cause must lead to be named alone. */
  readonly margin: number;
  /** Best supported first; empty where nothing fades. */
  readonly causes: readonly TopEndCauseResult[];
  readonly observations: readonly TopEndObservation[];
  /** Causes that were not weighed, and why. */
  readonly leftOut: readonly { readonly cause: TopEndCause; readonly name: string; readonly reason: string }[];
  /** Quantities that would have told something and were not logged. Absence is no evidence. */
  readonly notLogged: readonly string[];
  /** What to log or try next to decide, most useful first. */
  readonly next: readonly string[];
}

/** What limits the top end, for every setup and every comparison, in the order of `setups` and `comparisons`. */
export interface TopEndResult {
  readonly setups: readonly TopEndAnalysis[];
  readonly comparisons: readonly TopEndAnalysis[];
}
