export { airFlowBySpeedAndDensity, type ManifoldAir } from './airFlow.js';
export type { CellMean } from './cellMean.js';
export { compareIdle, type IdleComparison, type IdleVerdict } from './compareIdle.js';
export { type EstimateDelayOptions, type EstimatedDelay, estimateDelay } from './estimateDelay.js';
export { type SteadyHealth, type SteadyMean, type SteadyReadings, steadyHealth } from './idleHealth.js';
export { type InjectorPoint, injectorFlowShare, moreAirUntilDuty } from './injectorRoom.js';
export {
  consumptionFromPoundsPerHorsepowerHour,
  injectorDutyOf,
  injectorFlowAtPressure,
  injectorVolumeFlowM3PerS,
  massFlowFromPoundsPerHour,
  powerFromFuel,
} from './injectors.js';
export { type DriftCell, type LambdaDrift, type LambdaDriftOptions, type LambdaReadings, lambdaDrift } from './lambdaDrift.js';
export { airFuelRatio, type CombinedLambda, combineBanks, gaugeFromLambda, lambdaFromGauge } from './lambdaScale.js';
export { type CoverageCell, type LoadCoverage, loadCoverage } from './loadCoverage.js';
export {
  type ErrorCell,
  type ErrorReadings,
  evenEdges,
  type MeasuredErrorOptions,
  type MeasuredErrorTable,
  measuredErrorTable,
  type TableAxis,
} from './measuredError.js';
export { type ErrorProvenance, measuredErrorCsv } from './measuredErrorCsv.js';
export { readingsAt } from './readingsAt.js';
export { removeDelay, steadyRows } from './removeDelay.js';
export { type BlendOptions, blendStoichAfr, type FuelFormula, stoichAfrOfFormula } from './stoichiometry.js';
export { type Sustained, type SustainedOptions, sustainedHighest } from './sustained.js';
export { type DelayParts, delaysAt, enteredDelay, modelDelayS, type TransportDelay } from './transportDelay.js';
export { pullWarnings } from './warnings.js';
export type { AssumedLimit, PullWarnings, WarningDetail, WarningLevel, WarningLimits, WatchedPull } from './warningTypes.js';
