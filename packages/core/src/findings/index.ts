export type { Finding, Place, Severity } from './finding.js';
export { nearestName } from './nearestName.js';
export { PullproofError, placeText } from './pullproofError.js';
