export { contradictions } from './knownTwice.js';
