export { type Demand, demandOf } from './demand.js';
export { type FoundStretches, findStretches } from './findStretches.js';
export { findPulls } from './pulls.js';
export { type LocatedPull, onEngineSpeed, type PullReadings, pullReadings, type QuantityCurve, quantityCurve } from './quantityCurve.js';
export {
  joinableGapS,
  type MotionSignals,
  motionSignals,
  quantileOf,
  type Readings,
  readingsBetween,
  readingsOf,
  rowsOf,
  valueAt,
} from './signals.js';
export type { Pull, Stretch, StretchKind } from './stretch.js';
