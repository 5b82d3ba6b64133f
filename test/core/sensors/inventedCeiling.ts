import type { Ceiling } from '../../../packages/core/src/sensors/index.js';

/** A ceiling as one is found: at 200 kPa, in three pulls, without any noise. */
export const inventedCeiling = (over: Partial<Ceiling> = {}): Ceiling => ({
  side: 'upper',
  value: 200_000,
  quantum: 500,
  certainty: 'found',
  readings: 40,
  visits: 3,
  runs: [],
  toleranceBelow: 200,
  place: null,
  evidence: { lostNoise: 5, sameLevel: 5, whiteness: 0, stays: 1, pileUp: 0.9, noiseElsewhereCounts: 1, noiseAtLevelCounts: 0 },
  score: 4,
  ...over,
});
