export { boostPa, pressureRatioOf } from './boostPressure.js';
export { blowerDrivePowerW, blowerOutletTemperatureK, cooledTemperatureK, densityRatio, rootsEfficiencyLimit } from './chargeAir.js';
export { blowerDriveRatio, rotorSpeedLimit, rotorSpeedRpm } from './driveRatio.js';
export { type BlowerOnEngine, type ExpectedCharge, expectedAfterPulleyChange, expectedPressureRatio } from './expectedPressureRatio.js';
