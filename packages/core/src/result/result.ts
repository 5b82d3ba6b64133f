import type { VerdictRegion } from '../compare/index.js';
import type { Finding } from '../findings/index.js';
import type { IdleComparison } from '../fuel/index.js';
import type { Budget, BudgetCheck, TwoWayWind } from './budgetTypes.js';
import type { CalculatedResult } from './calculatedTypes.js';
import type { ChangeSheetResult } from './changeSheetTypes.js';
import type { CoverageResult, FitnessResult, LogsTogether, SteadyResult } from './checkTypes.js';
import type { Contradiction } from './contradictionTypes.js';
import type { BandBounds, CurveResult, StatedValue } from './curveTypes.js';
import type { EstimatorResult } from './estimatorTypes.js';
import type { BecauseResult, ExplanationResult } from './explanationTypes.js';
import type { FuelTableResult, MixtureComparison, MixtureResult } from './mixtureTypes.js';
import type { BlowerResult, CeilingResult, PressureComparison } from './pressureTypes.js';
import type { RoutesResult } from './routesTypes.js';
import type { SharpenInput } from './sharpenTypes.js';
import type { Standing } from './standing.js';
import type { FuelSupplyResult } from './supplyTypes.js';
import type { TopEndResult } from './topEndTypes.js';
import type { PullTrace } from './traceTypes.js';

export type { BandBounds, CurveResult, StatedValue } from './curveTypes.js';
export type { EstimatorResult } from './estimatorTypes.js';
export type { Standing } from './standing.js';

/** Verdict on a whole comparison. */
export type Verdict = 'gain' | 'loss' | 'mixed' | 'no clear change' | 'cannot tell';

/** One full-load pull as it was used. */
export interface PullResult {
  readonly log: string;
  readonly outing: string;
  readonly gear: number | null;
  readonly startS: number;
  readonly endS: number;
  readonly fromRpm: number;
  readonly toRpm: number;
  readonly massKg: number;
  readonly airDensityKgPerM3: number;
  /** Which channel gave the speed, and how it was calibrated. */
  readonly speedSource: string;
  /** This pull's power over its setup's mean, 1 = the mean; null for a single pull. */
  readonly scale: number | null;
  /** False when the pull was found but left out; `cutReason` says why. */
  readonly used: boolean;
  readonly cutReason: string | null;
  readonly startChargeTemperatureK: number | null;
  readonly endChargeTemperatureK: number | null;
  readonly leanestLambda: number | null;
  readonly largestKnockRetardDeg: number | null;
  /** Own curve of this pull, wheel power. */
  readonly wheelPowerW: { readonly engineSpeedRpm: readonly number[]; readonly value: readonly (number | null)[] };
  /** The recording around the pull, thinned, for a picture: time from the pull's start. `kept` is 1 where the sample was used. */
  readonly trace: {
    readonly timeS: readonly number[];
    readonly engineSpeedRpm: readonly (number | null)[];
    readonly roadSpeedMps: readonly (number | null)[];
    readonly kept: readonly (0 | 1)[];
  };
}

/** Conditions and mass of one run, as used. */
export interface RunResult {
  readonly log: string;
  readonly outing: string;
  readonly when: string | null;
  readonly direction: string | null;
  readonly air: {
    readonly temperatureK: StatedValue;
    readonly stationPressurePa: StatedValue;
    readonly relativeHumidity: StatedValue;
    readonly densityKgPerM3: StatedValue;
  };
  readonly windMps: StatedValue;
  readonly grade: StatedValue;
  /** What resists the car, with the covariance of both (0 unless one fit to coast-downs gave them). */
  readonly roadLoad?: { readonly dragAreaM2: StatedValue; readonly rollingCoefficient: StatedValue; readonly covarianceM2: number };
  /** Ledger: car, driver, cargo, fuel; sums to `massKg`. */
  readonly ledger: readonly { readonly item: string; readonly massKg: number; readonly standing: Standing; readonly note: string }[];
  readonly massKg: StatedValue;
  /** Factor that the named standard would put on the power; a warning when it does not apply. Present only when asked for. */
  readonly correction?: { readonly standard: string; readonly factor: number; readonly warning: string | null };
}

export interface SetupResult {
  readonly name: string;
  readonly runs: readonly RunResult[];
  readonly pulls: readonly PullResult[];
  readonly curves: {
    readonly wheelPowerW?: CurveResult;
    readonly wheelTorqueNm?: CurveResult;
    readonly manifoldPressurePa?: CurveResult;
    /** Manifold pressure above the weather's. */
    readonly boostPa?: CurveResult;
    /** Manifold over inlet pressure, both absolute. */
    readonly pressureRatio?: CurveResult;
    readonly lambda?: CurveResult;
    readonly chargeTemperatureK?: CurveResult;
    readonly sparkAdvanceDeg?: CurveResult;
  };
  /** What the power curve comes from; null without a curve to be had. */
  readonly estimator?: EstimatorResult | null;
  /** Pull-to-pull standard deviation of power as a share of power, and how it is known. */
  readonly repeatability: StatedValue;
  /** What the uncertainty of the power is made of, at the engine speed of its largest value; null without a curve. */
  readonly budget?: (Budget & { readonly check: BudgetCheck }) | null;
  /** One for each outing with pulls both ways along a road. */
  readonly twoWay?: readonly TwoWayWind[];
  /** Null without a blower. */
  readonly blower?: BlowerResult | null;
  /** Null where lambda was not logged in the pulls. */
  readonly mixture?: MixtureResult | null;
  /** Measured error of the fuelling, for the tuner. */
  readonly fuelTable?: FuelTableResult;
  /** Injector duty, headroom and fuel pressure over the pulls; null without pulls that could be used. */
  readonly fuelSupply?: FuelSupplyResult | null;
  /** Crank power by motion, air and fuel side by side; null without pulls that could be used. */
  readonly routes?: RoutesResult | null;
  /** What was changed on the car for this setup; null where the trial does not say. */
  readonly changeSheet?: ChangeSheetResult | null;
}

/** A span of engine speed with one verdict. */
export type Region = VerdictRegion;

/** What else was different, after minus before, at equal engine speed. */
export interface ChangedBesides {
  readonly quantity: string;
  readonly before: number | null;
  readonly after: number | null;
  readonly unit: string;
  /** Judged where power changed clearly, the strongest answer of those places; `no clear change`: there is none to explain. */
  readonly couldExplain: 'yes' | 'no' | 'partly' | 'cannot tell' | 'no clear change';
  /** Why, in a sentence. */
  readonly reason: string;
  /** About how much power this could account for, W; null where no rule is known. */
  readonly couldExplainW: number | null;
  /** Engine speeds that the answer, and the values of a channel, are of; null or left out for all that is compared. */
  readonly spanRpm?: readonly [from: number, to: number] | null;
}

export interface ComparisonResult {
  readonly before: string;
  readonly after: string;
  readonly wheelPowerW: {
    readonly engineSpeedRpm: readonly number[];
    readonly difference: readonly (number | null)[];
    readonly low: readonly (number | null)[];
    readonly high: readonly (number | null)[];
    readonly level: number;
    readonly simultaneous: boolean;
    /** Narrower bounds, of the same level, that hold at each engine speed by itself. */
    readonly eachSpeed?: BandBounds;
    /** Difference that the air alone could have made, at the end of the exponent's range that explains most. */
    readonly airCouldExplainW: readonly (number | null)[];
    /** Both ends of what the air could explain. */
    readonly airLowW: readonly (number | null)[];
    readonly airHighW: readonly (number | null)[];
    readonly status?: string;
  };
  readonly regions: readonly Region[];
  /** What could have made the difference without the part, what takes a claim away first. */
  readonly explanations?: readonly ExplanationResult[];
  readonly changedBesides: readonly ChangedBesides[];
  /** Standard deviations that make up the difference's band, as shares of power, largest first. */
  readonly bandParts: readonly { readonly name: string; readonly share: number; readonly standing: Standing }[];
  /** What the uncertainty of the difference is made of, in the middle of the engine speeds; null without a difference. */
  readonly budget?: Budget | null;
  /** Boost before and after; null without manifold pressure in both. */
  readonly pressure?: PressureComparison | null;
  /** How far the mixture moved; null without lambda in both. */
  readonly mixture?: MixtureComparison | null;
  /** Idle after the change beside idle before: leaks show here. Null where either was not logged long enough. */
  readonly idle?: IdleComparison | null;
}

export interface OverallResult {
  readonly before: string;
  readonly after: string;
  readonly sentence: string;
  readonly verdict: Verdict;
  readonly reasons: readonly string[];
  /** Why nothing is claimed, or what an answer without a claim may hide, with what would settle it; most important first. */
  readonly because?: readonly BecauseResult[];
  /** Smallest change that could be claimed, with every explanation counted, W; null where none could. */
  readonly couldShowW?: number | null;
  /** What to do next, most useful first. */
  readonly next: readonly string[];
}

/** The warning line. Never says safe. */
export interface WarningLine {
  readonly level: 'stop' | 'nothing alarming seen' | 'not measured';
  readonly sentence: string;
  readonly details: readonly {
    readonly quantity: string;
    readonly level: 'stop' | 'nothing alarming seen' | 'not measured';
    readonly text: string;
  }[];
}

export interface Provenance {
  readonly version: string;
  readonly inputs: readonly { readonly path: string; readonly sha256: string; readonly rows: number; readonly rowsDropped: number }[];
  readonly settings: Readonly<Record<string, string | number | boolean>>;
}

/** The answer to a trial; everything that a report, the terminal or a notebook shows comes from here. SI, ratios 0–1. */
export interface TrialResult {
  readonly schema: 'pullproof/result@1';
  readonly title: string;
  /** Units for people. */
  readonly units: 'metric' | 'imperial';
  readonly provenance: Provenance;
  readonly overall: readonly OverallResult[];
  readonly warning: WarningLine;
  readonly setups: readonly SetupResult[];
  readonly comparisons: readonly ComparisonResult[];
  /** Levels at which a channel of a log is cut off. */
  readonly ceilings?: readonly CeilingResult[];
  /** What is known twice and does not agree. */
  readonly contradictions?: readonly Contradiction[];
  /** What limits power towards the top. */
  readonly topEnd?: TopEndResult;
  /** Readings of every pull, for a picture; only where they were asked for. */
  readonly traces?: readonly PullTrace[];
  /** Quantities made by the formulas of the trial; left out where it has none. */
  readonly calculated?: readonly CalculatedResult[];
  /** Every input that was not measured or entered, with its spread. */
  readonly assumptions: readonly {
    readonly quantity: string;
    readonly value: number | null;
    readonly unit: string;
    readonly spread: number | null;
    readonly source: string;
    /** What it counts for: runs, setups or all of them. */
    readonly where: string;
    /** Field of the trial file that takes a value in its place; null or left out where there is none. */
    readonly field?: string | null;
  }[];
  /** Inputs that would narrow a margin, what brings most first. */
  readonly sharpen?: readonly SharpenInput[];
  readonly findings: readonly Finding[];
}

/** One log as `check` sees it. */
export interface CheckedLog {
  readonly path: string;
  readonly dialect: { readonly delimiter: string; readonly decimal: string; readonly encoding: string; readonly evidence: string } | null;
  readonly rows: number;
  readonly rowsDropped: number;
  readonly durationS: number | null;
  readonly channels: readonly {
    readonly name: string;
    readonly quantity: string | null;
    readonly unit: string;
    /** For pressures: what zero means; null otherwise. */
    readonly reference?: 'absolute' | 'gauge' | null;
    readonly standing: string;
    readonly evidence: string;
    readonly refreshS: { readonly median: number; readonly low: number; readonly high: number } | null;
    readonly missing: number;
  }[];
  readonly stretches: readonly {
    readonly kind: 'pull' | 'idle' | 'cruise' | 'coast' | 'pass';
    readonly startS: number;
    readonly endS: number;
    readonly fromRpm: number | null;
    readonly toRpm: number | null;
    readonly firstRow: number;
    readonly lastRow: number;
    readonly gear: number | null;
    /** For pulls: engine speed over road speed, rpm per m/s; null where no road speed tells. */
    readonly rpmPerMps?: number | null;
    /** What told it: pedal, throttle, load, pressure, acceleration. */
    readonly evidence: string;
  }[];
  /** Levels at which a channel is cut off. */
  readonly ceilings?: readonly CeilingResult[];
  /** Warm idle and steady cruise, summed up. */
  readonly steady?: SteadyResult;
  /** Cells of engine speed × load that were visited; null where either is missing. */
  readonly coverage?: CoverageResult | null;
  /** What the log is good for, and what to log next. */
  readonly fitness?: readonly FitnessResult[];
  readonly findings: readonly Finding[];
}

export interface CheckResult {
  readonly schema: 'pullproof/check@1';
  readonly logs: readonly CheckedLog[];
  /** What all logs are good for together. */
  readonly together?: LogsTogether;
}
