export { contradictions } from './knownTwice.js';
export { type LambdaDoubt, lambdaDoubts } from './lambdaScale.js';
