export type { Demand } from './demand.js';
export { type FoundStretches, findStretches } from './findStretches.js';
export { type LocatedPull, meanOfCurves, type PullReadings, pullReadings, type QuantityCurve, quantityCurve } from './quantityCurve.js';
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
export type { Pull, Stretch, StretchKind } from './stretch.js';
