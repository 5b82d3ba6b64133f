import type { Finding } from '../findings/index.js';
import type { ComparisonResult, OverallResult, TrialResult } from './result.js';

/** A number of a season with its 95 % margin. */
export interface SeasonNumber {
  readonly value: number;
  readonly low: number;
  readonly high: number;
}

/** One car over its days: `pullproof/season@1`. Power is the mean over the range that all setups share, carried to one air density. */
export interface SeasonResult {
  readonly schema: 'pullproof/season@1';
  readonly title: string;
  readonly units: 'metric' | 'imperial';
  readonly provenance: TrialResult['provenance'];
  /** Why there is no scale; null where there is one. */
  readonly status: string | null;
  readonly range: { readonly fromRpm: number; readonly toRpm: number } | null;
  readonly air: { readonly densityKgPerM3: number; readonly exponent: number; readonly exponentSpread: number } | null;
  readonly setups: readonly {
    readonly name: string;
    readonly pulls: number;
    readonly outings: number;
    /** Margin with everything, the common inputs such as weight included. */
    readonly wheelPowerW: SeasonNumber | null;
    /** Against the first setup, as a share of its power: common inputs cancel. */
    readonly change: SeasonNumber | null;
  }[];
  readonly days: readonly {
    readonly name: string;
    readonly when: string | null;
    readonly setups: readonly string[];
    readonly pulls: number;
    /** What this day read high or low, as a share of power, with weather and inputs taken out. */
    readonly effect: SeasonNumber;
    readonly airDensityKgPerM3: number;
  }[];
  /** How far pulls and days scatter, standard deviations as shares of power. */
  readonly repeats: {
    readonly pullToPull: SeasonNumber;
    readonly dayToDay: SeasonNumber & { readonly days: number; readonly measured: boolean; readonly source: string };
  } | null;
  /** What the car itself drifts by, a share of power in 30 days; and the exponent of air density that is left over. Null where the days do not tell. */
  readonly drift: { readonly in30Days: SeasonNumber | null; readonly airExponentLeft: SeasonNumber | null; readonly status: string };
  readonly overall: readonly OverallResult[];
  readonly comparisons: readonly ComparisonResult[];
  readonly slips: readonly {
    readonly name: string;
    readonly setup: string;
    readonly etS: number | null;
    readonly trapMps: number | null;
    /** Carried to the air of the first slip; null where the car's model is missing. */
    readonly inOneAir: { readonly etS: number | null; readonly trapMps: number | null } | null;
    readonly best: boolean;
  }[];
  /** Fueling error of each setup and day: the middle cell and its range. */
  readonly fuel: readonly {
    readonly setup: string;
    readonly factor: number;
    readonly low: number;
    readonly high: number;
    readonly cells: number;
  }[];
  /** What was changed, in the order of the trials. */
  readonly logBook: readonly { readonly trial: string; readonly setup: string; readonly lines: readonly string[] }[];
  readonly findings: readonly Finding[];
}
