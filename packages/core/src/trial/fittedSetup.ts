import type { SetupCurve, TorqueFit } from '../power/index.js';
import type { LoadedRun, TrialPull } from './preparePulls.js';

/** A setup with its pulls, those used, fit and curve; `fit` and `curve` are null where it has no usable pull. */
export interface FittedSetup {
  readonly name: string;
  readonly runs: readonly LoadedRun[];
  readonly pulls: readonly TrialPull[];
  readonly used: readonly TrialPull[];
  readonly fit: TorqueFit | null;
  readonly curve: SetupCurve | null;
}
