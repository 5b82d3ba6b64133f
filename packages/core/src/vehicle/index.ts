export {
  type CoastDownCoefficients,
  coastDownForceN,
  coastDownFromRoadLoad,
  coastDownSpeedMps,
  coastDownTimeS,
} from './coastDown.js';
export type { CoastDownFit, CoastRun, Estimate } from './coastRun.js';
export { type FastenerTorque, fastenerTorque, proofLoadN } from './fastenerTorque.js';
export { type FitCoastDownOptions, fitCoastDown, fittedForceN } from './fitCoastDown.js';
export { type Gearing, type GearMatch, nearestGear, rpmPerMps } from './gearing.js';
export { type KnownNumber, type MassItem, type MassLedger, type MassParts, massLedger, type WeighedCar } from './massLedger.js';
export { type AltitudePass, fitRoadGrade, type PassGrade, type RoadGradeFit } from './roadGrade.js';
export {
  accelerationFromPower,
  type MotionInputs,
  type RoadLoad,
  type RoadLoadInputs,
  roadLoad,
  STANDARD_GRAVITY,
  wheelPowerW,
} from './roadLoad.js';
export { type AssumedRotatingFactor, type DriveRatios, defaultRotatingFactor, rotatingFactor, type SpinningParts } from './rotatingMass.js';
export { type Thread, threadFromSize, threadStressAreaM2 } from './threads.js';
export { type Tyre, tyreFromSize } from './tyre.js';
export { type KindOfCar, type UncertainInertia, usualInertias } from './usualInertias.js';
