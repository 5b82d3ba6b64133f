import type { CeilingEvidence } from './ceilingEvidence.js';

/**
 * Logarithm of the odds of a clamp, less the bar that it must clear: above 0 counts as one.
 *
 * A logistic regression on 24,000 simulated sets of pulls (a third clamped, a third free, a third on a controlled plateau with ripple). The weights are ours: regression, not truth; how often they are right and wrong is measured by `test/core/sensors/findCeilings.study.test.ts` on other sets.
 */
export function ceilingScore(evidence: CeilingEvidence): number {
  const within = (value: number, low: number, high: number): number => Math.min(high, Math.max(low, value));
  const logOdds = (share: number): number => Math.log(share / (1.02 - share));
  return (
    0.224 * within(evidence.lostNoise, -10, 15) +
    0.71 * within(evidence.sameLevel, -15, 25) +
    1.117 * within(evidence.whiteness, -15, 0) +
    1.617 * logOdds(evidence.pileUp) +
    3.94 * logOdds(evidence.stays) -
    18.5
  );
}
