export { boostPa, pressureRatioOf } from './boostPressure.js';
export { blowerDrivePowerW, blowerOutletTemperatureK, cooledTemperatureK, densityRatio, rootsEfficiencyLimit } from './chargeAir.js';
export { blowerDriveRatio, rotorSpeedLimit, rotorSpeedRpm } from './driveRatio.js';
export { type BlowerOnEngine, type ExpectedCharge, expectedAfterPulleyChange, expectedPressureRatio } from './expectedPressureRatio.js';
export {
  needsBelt,
  needsBoost,
  type TopEndCause,
  type TopEndCauseWords,
  type TopEndSign,
  topEndCauses,
  topEndSignNeeds,
  topEndSigns,
} from './topEndCauses.js';
export { type Aspiration, type Expected, type Healthy, healthySigns, type Signature, signatures } from './topEndSignatures.js';
export { type MeasuredSign, type SignPoints, type WeighedCause, weighCauses } from './weighCauses.js';
