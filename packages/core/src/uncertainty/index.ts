export { type Band, bandOf, type CurveErrors, halfAtPoint, type SharedError, wholeCurveDraws } from './band.js';
export {
  detectableEffect,
  detectableShare,
  type EstimatedSpread,
  type PlannedErrors,
  type TTest,
  tTestPower,
} from './detectability.js';
export {
  type FirstOrder,
  type Propagated,
  propagateByDraws,
  propagateFirstOrder,
  type UncertainInput,
  type UncertainModel,
} from './propagate.js';
