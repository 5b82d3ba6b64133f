export { type EstimateDelayOptions, type EstimatedDelay, estimateDelay } from './estimateDelay.js';
export {
  consumptionFromPoundsPerHorsepowerHour,
  injectorDutyOf,
  injectorFlowAtPressure,
  injectorVolumeFlowM3PerS,
  massFlowFromPoundsPerHour,
  powerFromFuel,
} from './injectors.js';
export { airFuelRatio, type CombinedLambda, combineBanks, gaugeFromLambda, lambdaFromGauge } from './lambdaScale.js';
export { readingsAt } from './readingsAt.js';
export { removeDelay, steadyRows } from './removeDelay.js';
export { type BlendOptions, blendStoichAfr, type FuelFormula, stoichAfrOfFormula } from './stoichiometry.js';
export { type Sustained, type SustainedOptions, sustainedHighest } from './sustained.js';
export { type DelayParts, delaysAt, enteredDelay, modelDelayS, type TransportDelay } from './transportDelay.js';
export { pullWarnings } from './warnings.js';
export type { AssumedLimit, PullWarnings, WarningDetail, WarningLevel, WarningLimits, WatchedPull } from './warningTypes.js';
