export type { Demand } from './demand.js';
export { type FoundStretches, findStretches } from './findStretches.js';
export { type LocatedPull, type PullReadings, pullReadings } from './pullReadings.js';
export { meanOfCurves, type QuantityCurve, quantityCurve } from './quantityCurve.js';
export {
  engineSpeedOnRows,
  joinableGapS,
  type MotionSignals,
  motionSignals,
  quantileOf,
  type Readings,
  readingsBetween,
  rowsOf,
  valueAt,
} from './signals.js';
export type { Pull, SparsePull, Stretch, StretchKind } from './stretch.js';
