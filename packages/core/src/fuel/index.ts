export { readingsAt } from './readingsAt.js';
export { type Sustained, type SustainedOptions, sustainedHighest } from './sustained.js';
export { pullWarnings } from './warnings.js';
export type { AssumedLimit, PullWarnings, WarningDetail, WarningLevel, WarningLimits, WatchedPull } from './warningTypes.js';
