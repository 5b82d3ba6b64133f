export type { Io, Output } from './io.js';
export { main } from './main.js';
export { run } from './run.js';
