import type { CurveResult } from './curveTypes.js';

/** A calculated quantity of the trial: its formula, and its curve for each setup. */
export interface CalculatedResult {
  readonly name: string;
  readonly formula: string;
  /** SI, but engine speeds in rpm and angles in deg; `1` for a plain number. */
  readonly unit: string;
  readonly setups: readonly {
    readonly setup: string;
    /** Mean over the pulls at equal engine speed, with the band of the spread between pulls; null where there is none. */
    readonly curve: CurveResult | null;
    /** Why there is no curve; null where there is one. */
    readonly status: string | null;
  }[];
}
