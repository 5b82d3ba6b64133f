export * from './air/index.js';
export * from './findings/index.js';
export type { Channel, Dialect, Log, Spread } from './log/log.js';
export { type Quantity, quantityUnits } from './log/quantities.js';
export * from './trial/index.js';
export * from './units/index.js';
export * from './vehicle/index.js';
