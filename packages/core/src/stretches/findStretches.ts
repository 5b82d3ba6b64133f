import type { Log } from '../log/index.js';
import { type Demand, demandOf } from './demand.js';
import { findPulls } from './pulls.js';
import { type MotionSignals, motionSignals } from './signals.js';
import { findPasses, findSteadyStretches } from './steady.js';
import type { Pull, SparsePull, Stretch } from './stretch.js';

/** Everything that was found in a log, with what it was found by. */
export interface FoundStretches {
  readonly signals: MotionSignals;
  readonly demand: Demand | null;
  readonly pulls: readonly Pull[];
  /** Full load that a slow logger shows too few readings of. */
  readonly sparse: readonly SparsePull[];
  /** Idle, cruise, coast and pass. */
  readonly others: readonly Stretch[];
}

/**
 * Finds full-load pulls, idle, cruise, neutral coast-downs and standing-start passes in a log.
 *
 * @param log A log as read.
 * @returns Pulls with their usable spans, and the other stretches, each in order of time. Without an engine speed there are none.
 */
export function findStretches(log: Log): FoundStretches {
  const signals = motionSignals(log);
  const demand = demandOf(signals);
  const { pulls, sparse } = findPulls(signals, demand);
  return { signals, demand, pulls, sparse, others: [...findSteadyStretches(signals, demand), ...findPasses(signals, pulls)] };
}
