import type { PreparedPull } from '../power/index.js';
import type { LocatedPull } from '../stretches/index.js';
import type { LoadedRun } from './loadedRun.js';

/** A pull of the trial: where it was found, what is known of it, and how it enters the fit; `prepared` is null where it cannot be used. */
export interface TrialPull extends LocatedPull {
  readonly run: LoadedRun;
  readonly prepared: PreparedPull | null;
  readonly gear: number | null;
  readonly speedSource: string;
  readonly cutReason: string | null;
}
