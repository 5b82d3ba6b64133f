export type * from './answer/budgetTypes.js';
export type * from './answer/calculatedTypes.js';
export type * from './answer/changeSheetTypes.js';
export type * from './answer/checkTypes.js';
export type * from './answer/mixtureTypes.js';
export type * from './answer/planResult.js';
export type * from './answer/pressureTypes.js';
export type * from './answer/result.js';
export type * from './answer/routesTypes.js';
export type * from './answer/stripResult.js';
export type * from './answer/supplyTypes.js';
export type * from './answer/topEndTypes.js';
export { regionNote } from './comparison/regionNote.js';
export { type OpenedLog, runTrial } from './comparison/runTrial.js';
export { parseTrial } from './file/parseTrial.js';
export { decimalFromText, delimiterFromText } from './file/readingWords.js';
export { slipsFromCsv } from './file/slipsCsv.js';
export type * from './file/trialFile.js';
export { trialJsonSchema } from './file/trialSchema.js';
export type {
  BlowerInputs,
  EngineInputs,
  InjectorInputs,
  MeasurableNumber,
  RotatingInertia,
  RunInputs,
  SetupInputs,
  StatedNumber,
  TrialInputs,
} from './inputs/inputs.js';
export { resolveTrial } from './inputs/resolveTrial.js';
export { checkLog } from './log/checkLog.js';
export { type NewTrialOptions, newTrial } from './newTrial.js';
export { type PlanOptions, planTrial } from './plan/planTrial.js';
export { mayHaveFormulas } from './setups/calculatedParts.js';
export { forecastTrial } from './strip/forecastTrial.js';
export { reconcileTrial } from './strip/reconcileTrial.js';
