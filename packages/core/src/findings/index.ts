export type { Finding, Place, Severity } from './finding.js';
export { PullproofError, placeText } from './pullproofError.js';
