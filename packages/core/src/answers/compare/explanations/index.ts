export { type AirExplanation, airExplanation } from './air.js';
export { explanationResults } from './explanationResults.js';
export { otherExplanations } from './otherExplanations.js';
