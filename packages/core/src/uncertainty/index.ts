export { type Band, bandOf, type CurveErrors, type SharedError } from './band.js';
export {
  detectableEffect,
  detectableShare,
  type EstimatedSpread,
  type PlannedErrors,
  type TTest,
  tTestPower,
} from './detectability.js';
