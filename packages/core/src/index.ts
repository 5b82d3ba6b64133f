export * from './air/index.js';
export * from './findings/index.js';
export * from './fuel/index.js';
export type { Channel, Dialect, Log, Spread } from './log/log.js';
export { type Quantity, quantityUnits } from './log/quantities.js';
export { type LocalFit, localPolynomial, type RandomStream, randomStream, studentTTwoSided } from './maths/index.js';
export * from './trial/index.js';
export * from './units/index.js';
export * from './vehicle/index.js';
