export type { RotatingInertia, RunInputs, SetupInputs, StatedNumber, TrialInputs } from './inputs.js';
export { newTrial } from './newTrial.js';
export { parseTrial } from './parseTrial.js';
export { decimalFromText, delimiterFromText } from './readingWords.js';
export { stoichAfrOfBlend } from './resolveFuel.js';
export { resolveTrial } from './resolveTrial.js';
export type * from './result.js';
export type * from './trialFile.js';
export { trialJsonSchema } from './trialSchema.js';
