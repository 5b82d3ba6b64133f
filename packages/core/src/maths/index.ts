export { type BSplineBasis, bSplineAt, bSplineBasis, bSplineValues, differencePenalty } from './bSpline.js';
export { cholesky, choleskyInverse, choleskyLogDeterminant, choleskySolve, forwardSubstitute } from './cholesky.js';
export { normalBelow, normalTwoSided, studentTPValue, studentTTwoSided } from './distributions.js';
export { joined } from './joined.js';
export { type LocalFit, localPolynomial, lowerBound, upperBound } from './localPolynomial.js';
export { type AssumedVariance, estimateOf, fitMixedModel, type MixedFit, type MixedModel } from './mixedModel.js';
export { type PooledEstimate, pooledEstimates } from './pooledEstimates.js';
export { chiSquaredDraw, type RandomStream, randomStream } from './random.js';
export { type YorkLine, type YorkPoint, yorkLine } from './yorkLine.js';
