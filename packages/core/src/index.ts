export * from './air/index.js';
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
export * from './sensors/index.js';
export {
  type Demand,
  type FoundStretches,
  findStretches,
  type MotionSignals,
  type Pull,
  type Readings,
  type Stretch,
  type StretchKind,
} from './stretches/index.js';
export * from './strip/index.js';
export * from './trial/index.js';
export { detectableEffect, type TTest, tTestPower } from './uncertainty/index.js';
export * from './units/index.js';
export * from './vehicle/index.js';
export { version } from './version.js';
