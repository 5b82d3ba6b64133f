export { calibrateSpeed } from './calibrateSpeed.js';
export {
  dragKgPerM,
  gradeChangeN,
  type InputEffect,
  inputEffects,
  type PullConditions,
  type RoadProfile,
  steadyForceN,
  type Uncertain,
} from './conditions.js';
export { cutOffShare } from './cutOffSpeed.js';
export { drawnPower, type PullPoint } from './drawnPower.js';
export { localCurve } from './localCurve.js';
export { type LocalTorque, localTorque, torqueGuess } from './localTorque.js';
export type { EngineCoupling, MotionPull, SpeedReadings } from './motion.js';
export { assumedRepeatability, type Contrast, contrastOf, type PullLevel, type Repeatability, repeatability } from './repeatability.js';
export { inputErrors, type PreparedPull, type SetupCurve, setupCurve } from './setupCurve.js';
export type { SpeedCalibration } from './speedCalibration.js';
export { fitTorque, meanNoise, type TorqueFit, type TorqueFitOptions } from './torqueFit.js';
