export { channelsOf, type FreshSamples, findChannel, freshSamples } from './access.js';
export type { LogSource } from './bytes.js';
export { readLimits } from './limits.js';
export type { Channel, Dialect, Log, Spread } from './log.js';
export { type Quantity, quantityUnits } from './quantities.js';
export { readLog } from './readLog.js';
export type { ReadOptions } from './readOptions.js';
export { shownName } from './shownName.js';
export type { TimeUnit } from './timeColumn.js';
