/** A value with one standard uncertainty. */
interface SpreadValue {
  readonly value: number;
  readonly spread: number;
}

/** Estimates of several cases: what they share, what each has by itself. */
export interface PooledEstimate {
  /** Best value for each, in their order. */
  readonly values: readonly number[];
  /** What the error of the mean, which all share, adds to each; and each one's own standard uncertainty beside it. */
  readonly commonSpreads: readonly number[];
  readonly ownSpreads: readonly number[];
}

/**
 * Pools estimates that may differ in truth: mean and spread between them by moments, each estimate drawn to the mean as far as its own error allows.
 *
 * τ² = max(0, (Q − (n − 1)) / (Σw − Σw²/Σw)), w = 1/u²; each keeps the share τ²/(τ² + u²) of its distance from the mean.
 *
 * @param estimates with one standard uncertainty each, independent
 * @returns values in their order
 *
 * Source: [DERSIMONIAN1986].
 */
export function pooledEstimates(estimates: readonly SpreadValue[]): PooledEstimate {
  const total = (of: (estimate: SpreadValue) => number): number => estimates.reduce((sum, estimate) => sum + of(estimate), 0);
  const meanBy = (weight: (estimate: SpreadValue) => number): number => total((one) => weight(one) * one.value) / total(weight);
  const plain = ({ spread }: SpreadValue): number => 1 / spread ** 2;
  const first = meanBy(plain);
  const excess = total((one) => plain(one) * (one.value - first) ** 2) - (estimates.length - 1);
  const freedom = total(plain) - total((one) => plain(one) ** 2) / total(plain);
  const between = freedom > 0 ? Math.max(0, excess / freedom) : 0;
  const full = ({ spread }: SpreadValue): number => 1 / (spread ** 2 + between);
  const mean = meanBy(full);
  const keeps = ({ spread }: SpreadValue): number => between / (between + spread ** 2);
  return {
    values: estimates.map((one) => mean + keeps(one) * (one.value - mean)),
    commonSpreads: estimates.map((one) => (1 - keeps(one)) / Math.sqrt(total(full))),
    ownSpreads: estimates.map((one) => Math.sqrt(keeps(one)) * one.spread),
  };
}
