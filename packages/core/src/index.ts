export * from './air/index.js';
export { mayHaveFormulas, regionNote } from './answers/index.js';
export * from './boost/index.js';
export type { VerdictRegion } from './compare/index.js';
export { type Finding, type Place, PullproofError, placeText, type Severity } from './findings/index.js';
export {
  type CalculatedChannel,
  type CalculateOptions,
  calculateChannels,
  compileFormulas,
  type Formula,
  type FormulaParser,
  loadFormulaParser,
  type NamedFormulas,
} from './formulas/index.js';
export * from './fuel/index.js';
export * from './jobs/index.js';
export {
  type Channel,
  channelsOf,
  checkSpeedByGears,
  csvText,
  type Dialect,
  type FreshSamples,
  findChannel,
  freshSamples,
  type Log,
  type LogSource,
  type Quantity,
  quantityUnits,
  type ReadOptions,
  readLimits,
  readLog,
  type Spread,
  shownName,
  type TimeUnit,
  utf8Text,
} from './log/index.js';
export { type LocalFit, localPolynomial, type RandomStream, randomStream, studentTTwoSided } from './maths/index.js';
export { type OpenedLog, type ReadLogs, readUnstated } from './pulls/index.js';
export type * from './result/index.js';
export * from './sensors/index.js';
export {
  type Demand,
  type FoundStretches,
  findStretches,
  type MotionSignals,
  type Pull,
  type Readings,
  type SparsePull,
  type Stretch,
  type StretchKind,
} from './stretches/index.js';
export * from './strip/index.js';
export {
  type AirFile,
  type BlowerInputs,
  type CarFile,
  type ChangesFile,
  type Conditions,
  type DraftGroup,
  type DraftValue,
  decimalFromText,
  delimiterFromText,
  draftFromLogs,
  type EngineInputs,
  type FromCoastDowns,
  type FuelFlow,
  type FuelLevel,
  type FuelTypeFile,
  fileStem,
  groupLogs,
  type Inherited,
  type InjectorInputs,
  type LogGroup,
  type MeasurableNumber,
  type NamedLog,
  type NewTrialOptions,
  newTrial,
  type OutingFile,
  type Overrides,
  parseTrial,
  type ReadingFile,
  type RotatingInertia,
  type RunFile,
  type RunInputs,
  type RunKind,
  resolveTrial,
  type SensorLineFile,
  type SetupFile,
  type SetupInputs,
  type SlipFile,
  type SpeedMark,
  type StatedInputs,
  type StatedNumber,
  setupName,
  slipsFromCsv,
  type TimeMark,
  type TrialDraft,
  type TrialFile,
  type TrialInputs,
  type TrialTextOptions,
  trialJsonSchema,
  trialText,
  type Written,
  withField,
} from './trial/index.js';
export { detectableEffect, type TTest, tTestPower } from './uncertainty/index.js';
export * from './units/index.js';
export * from './vehicle/index.js';
export { version } from './version.js';
