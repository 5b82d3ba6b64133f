export type * from './budgetTypes.js';
export { mayHaveFormulas } from './calculatedParts.js';
export type * from './calculatedTypes.js';
export type * from './changeSheetTypes.js';
export { checkLog } from './checkLog.js';
export type * from './checkTypes.js';
export { forecastTrial } from './forecastTrial.js';
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
} from './inputs.js';
export type * from './mixtureTypes.js';
export { type NewTrialOptions, newTrial } from './newTrial.js';
export { parseTrial } from './parseTrial.js';
export type * from './planResult.js';
export { type PlanOptions, planTrial } from './planTrial.js';
export type * from './pressureTypes.js';
export { decimalFromText, delimiterFromText } from './readingWords.js';
export { reconcileTrial } from './reconcileTrial.js';
export { resolveTrial } from './resolveTrial.js';
export type * from './result.js';
export type * from './routesTypes.js';
export { type OpenedLog, runTrial } from './runTrial.js';
export { slipsFromCsv } from './slipsCsv.js';
export type * from './stripResult.js';
export type * from './supplyTypes.js';
export type * from './topEndTypes.js';
export type * from './trialFile.js';
export { trialJsonSchema } from './trialSchema.js';
