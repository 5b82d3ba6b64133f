import type { Log } from '../log/index.js';
import type { FoundStretches } from '../stretches/index.js';
import type { RunInputs } from '../trial/index.js';

/** A run with its log read and searched. */
export interface LoadedRun {
  readonly setup: number;
  readonly inputs: RunInputs;
  readonly log: Log;
  readonly found: FoundStretches;
}
