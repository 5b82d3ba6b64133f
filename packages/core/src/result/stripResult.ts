import type { Finding } from '../findings/index.js';
import type { StripMark } from '../strip/index.js';
import type { TrialResult } from './result.js';

/** A value with bounds at 95 %; SI. */
export interface BandedNumber {
  readonly value: number;
  readonly low: number;
  readonly high: number;
}

export type ForecastMethod = 'constant-power' | 'huntington-1958' | 'hale' | 'simulated' | 'simulated-learned';

/** One forecast of one setup by one method. */
export interface SetupForecast {
  readonly setup: string;
  readonly method: ForecastMethod;
  readonly etS: BandedNumber;
  readonly trapMps: BandedNumber;
  readonly splits: readonly { readonly mark: StripMark; readonly timeS: BandedNumber; readonly speedMps: BandedNumber | null }[];
  /** What it rests on, for people. */
  readonly source: string;
  /** Time from 60 to 130 mph, s; null where the method has none or the pass does not reach it. */
  /** From the first movement to the start of the clock, s: added to a time it makes the time from the first movement; null where the method has no launch. */
  readonly rollOutS: number | null;
  readonly from60To130MphS: number | null;
  /** Speed against distance of the most likely pass; null where the method has none. */
  readonly motion: { readonly distanceM: readonly number[]; readonly speedMps: readonly number[] } | null;
  /** Share of each input in the variance. */
  readonly shares: readonly { readonly input: string; readonly et: number; readonly trap: number }[];
  /** Drawn passes, for a picture of the spread. */
  readonly draws: { readonly etS: readonly number[]; readonly trapMps: readonly number[] } | null;
}

/** What something is worth over the quarter mile, at the conditions of the forecast. */
export interface WorthResult {
  readonly change: string;
  readonly setup: string;
  readonly etS: BandedNumber;
  readonly trapMps: BandedNumber;
}

/** A slip of the trial as the forecast used it. */
export interface SlipResult {
  readonly name: string;
  readonly setup: string;
  readonly timesS: Readonly<Partial<Record<StripMark, number>>>;
  readonly speedsMps: Readonly<Partial<Record<StripMark, number>>>;
  readonly airDensityKgPerM3: number;
  readonly densityAltitudeM: number;
  /** The same pass in the air of the forecast; null without a simulated car. */
  readonly carried: {
    readonly etS: number | null;
    readonly trapMps: number | null;
    readonly byDragS: number;
    readonly byPowerS: number;
    readonly cubeRootEtS: number | null;
    readonly cubeRootTrapMps: number | null;
  } | null;
  /** Slip minus what was to be expected without it, s, and how much of that is laid to launch, shifts and power. */
  readonly lesson: {
    readonly etS: number;
    readonly launchS: number;
    readonly shiftsS: number;
    readonly powerS: number;
    readonly otherS: number;
  } | null;
}

/** What `forecast` finds. SI. */
export interface ForecastResult {
  readonly schema: 'pullproof/forecast@1';
  readonly title: string;
  readonly units: 'metric' | 'imperial';
  readonly provenance: TrialResult['provenance'];
  readonly day: {
    readonly airDensityKgPerM3: number;
    readonly densityAltitudeM: number;
    readonly windMps: number;
    readonly source: string;
  } | null;
  readonly forecasts: readonly SetupForecast[];
  readonly worth: readonly WorthResult[];
  readonly slips: readonly SlipResult[];
  /** What slips taught, as deviations in standard uncertainties of the priors. */
  readonly learned: readonly { readonly input: string; readonly deviation: number; readonly remaining: number }[];
  readonly assumed: readonly { readonly quantity: string; readonly value: string; readonly source: string }[];
  readonly cautions: readonly string[];
  readonly findings: readonly Finding[];
}

/** One slip beside its log. */
export interface ReconciledSlip {
  readonly name: string;
  readonly setup: string;
  readonly log: string | null;
  /** Start of the clock on the log's own time, s; null where no pass was found. */
  readonly launchS: number | null;
  /** Estimated offset of the log's distance clock: start of the clock minus first movement, s. */
  readonly offsetS: BandedNumber | null;
  /** True speed over logged speed. */
  readonly speedScale: BandedNumber | null;
  readonly splits: readonly {
    readonly mark: StripMark;
    readonly slipS: number | null;
    readonly logS: number | null;
    readonly low: number | null;
    readonly high: number | null;
    readonly usedInFit: boolean;
  }[];
  readonly shiftsS: readonly number[];
  /** When the driver lifted, from the clock's start; null where not seen. */
  readonly liftS: number | null;
  /** Largest excess of wheel over ground speed near the launch; null without two speeds. */
  readonly launchSpin: number | null;
  /** Excess of wheel over ground speed near the end, as tyre growth and slip make it. */
  readonly topGrowth: number | null;
  /** Multiplier on the measured wheel-power curve that reproduces the trap speed. */
  readonly powerScaleFromTrap: BandedNumber | null;
  /** Why log, slip and pulls disagree, most likely first. */
  readonly reasons: readonly string[];
  readonly motion: { readonly distanceM: readonly number[]; readonly speedMps: readonly number[] } | null;
}

/** Setups compared by their slips, carried to the same air. */
export interface SlipComparison {
  readonly before: string;
  readonly after: string;
  readonly etS: BandedNumber | null;
  readonly trapMps: BandedNumber | null;
  readonly verdict: 'more than noise' | 'not more than noise' | 'cannot tell';
  /** Passes of each setup that would settle a difference of this size; null where it is settled or not known. */
  readonly passesNeeded: number | null;
  readonly runToRunS: number;
}

/** What `reconcile` finds. SI. */
export interface ReconcileResult {
  readonly schema: 'pullproof/reconcile@1';
  readonly title: string;
  readonly units: 'metric' | 'imperial';
  readonly provenance: TrialResult['provenance'];
  readonly slips: readonly ReconciledSlip[];
  readonly comparisons: readonly SlipComparison[];
  readonly cautions: readonly string[];
  readonly findings: readonly Finding[];
}
