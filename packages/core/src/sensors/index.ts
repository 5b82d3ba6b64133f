export { type BeyondCeiling, type BeyondCeilingOptions, beyondCeiling } from './beyondCeiling.js';
export type { CeilingSeries } from './ceilingCandidate.js';
export type { CeilingEvidence } from './ceilingEvidence.js';
export { type CeilingFindingOptions, ceilingFinding } from './ceilingFinding.js';
export {
  type CensoredFit,
  type CensoredOptions,
  censoredMean,
  censoredRegression,
  type ModelEstimate,
} from './censoredRegression.js';
export { type EngineOffOptions, type EngineOffPressure, engineOffPressure } from './engineOffPressure.js';
export { type Ceiling, type CeilingOptions, type CeilingRun, findCeilings, readingsOnCeiling } from './findCeilings.js';
export { type PressureBeyond, type PullPressure, pressureBeyondCeiling } from './pressureBeyondCeiling.js';
export {
  type LawPoint,
  type PressureLaw,
  type PressureLawOptions,
  pressureFromVoltage,
  pressureLaw,
  ratiometricLaw,
  rescalePressure,
  supplyVoltageErrorPa,
  voltageFromPressure,
} from './pressureLaw.js';
export { pressureReferenceOf, type ReferenceEvidence } from './pressureReference.js';
export {
  highestBoostOf,
  type PublishedPressureSensor,
  publishedPressureSensor,
  publishedPressureSensors,
} from './publishedPressureSensors.js';
export { lambdaFromPumpCurrent } from './pumpCurrent.js';
