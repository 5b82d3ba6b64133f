export type { DraftGroup, DraftValue, TrialDraft } from './file/draft.js';
export { parseTrial } from './file/parseTrial.js';
export { decimalFromText, delimiterFromText } from './file/readingWords.js';
export { slipsFromCsv } from './file/slipsCsv.js';
export { trialDocument } from './file/trialDocument.js';
export type * from './file/trialFile.js';
export { trialJsonSchema } from './file/trialSchema.js';
export { AssumptionLedger } from './inputs/assumptions.js';
export { defaults, enteredSpread } from './inputs/defaults.js';
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
export { resolveAir } from './inputs/resolveAir.js';
export { resolveRun, resolveTrial } from './inputs/resolveTrial.js';
export { fileStem, groupLogs, type LogGroup, type NamedLog, setupName } from './new/groupLogs.js';
export { type NewTrialOptions, newTrial } from './new/newTrial.js';
export { draftFromLogs, type StatedInputs, withField } from './new/trialDraft.js';
export { type TrialTextOptions, trialText } from './new/trialText.js';
export { type MergedTrials, mergeTrials } from './season/mergeTrials.js';
