export type { Air } from './air.js';
export {
  type BoostControl,
  type Correction,
  type CorrectionOptions,
  type CorrectionStandard,
  correctionStandards,
  powerCorrection,
} from './correction.js';
export { type AirDensitySpread, airDensity, airDensitySpread, type MoistAir, moistAir } from './density.js';
export { dewPointK, relativeHumidityFromDewPoint, type SaturationFormula, saturationPressurePa } from './saturation.js';
export {
  type AtmosphereLevel,
  densityAltitudeM,
  geopotentialFromGeometric,
  pressureAltitudeM,
  standardAtmosphere,
} from './standardAtmosphere.js';
export { type AltimeterRelation, reducedPressureFinding, stationPressureFromAltimeter } from './stationPressure.js';
