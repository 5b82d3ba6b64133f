import type { SetupCurve, TorqueFit } from '../power/index.js';
import type { EstimatorResult } from '../result/index.js';
import type { LoadedRun } from './loadedRun.js';
import type { TrialPull } from './trialPull.js';

/** A setup with its pulls, those used, fit and curve; `curve` is null where it has no usable pull, `fit` too where the curve comes from another estimator. */
export interface FittedSetup {
  readonly name: string;
  readonly runs: readonly LoadedRun[];
  readonly pulls: readonly TrialPull[];
  readonly used: readonly TrialPull[];
  readonly fit: TorqueFit | null;
  readonly curve: SetupCurve | null;
  /** Null without a curve to be had. */
  readonly estimator: EstimatorResult | null;
}
