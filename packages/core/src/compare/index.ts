export { type AirShare, airShare, type DensityExponents, densityExponents } from './air.js';
export {
  type ChangeSpan,
  type CouldExplain,
  changeSpans,
  couldExplain,
  judgeChannel,
  type OtherChange,
  powerRules,
  spanChange,
  strongest,
} from './changedBesides.js';
export { bandPartNames, type PowerDifference, powerDifference } from './difference.js';
export {
  combined,
  type Explanation,
  type ExplanationEffect,
  explanationEffects,
  mayHide,
  smallestClaimW,
  takenAway,
} from './explanation.js';
export { leastPoints, meanOf, type OpenRange, type VerdictRegion, verdictRegions } from './regions.js';
export { type OverallVerdict, overallVerdict } from './verdict.js';
export { type VerdictReasonCode, verdictReasons, whyNotTold } from './verdictReasons.js';
