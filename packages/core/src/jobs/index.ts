export type { PlanOptions } from '../answers/index.js';
export { type LogShare, logsTogether, shareOf } from '../answers/index.js';
export { checkLog } from './checkLog.js';
export { forecastTrial } from './forecastTrial.js';
export { planTrial } from './planTrial.js';
export { reconcileTrial } from './reconcileTrial.js';
export { runTrial, type TrialOptions } from './runTrial.js';
export { type SeasonTrial, seasonOfTrials } from './seasonOfTrials.js';
