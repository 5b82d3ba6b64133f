/** A mean over readings of one cell, with what its uncertainty rests on. */
export interface CellMean {
  readonly mean: number;
  /** Readings. */
  readonly count: number;
  /** Pulls (or other stretches) they come from. */
  readonly pulls: number;
  /** Standard deviation of one reading; null with fewer than two. */
  readonly standardDeviation: number | null;
  /** Standard error of the mean, correlation between neighbours counted; null with fewer than two. */
  readonly standardError: number | null;
  /** Degrees of freedom of the standard error; 0 where there is none. */
  readonly degrees: number;
}

/**
 * Mean of readings with its standard error.
 *
 * se² = s²/n_e, n_e = n (1 − ρ)/(1 + ρ), s² = Σ(x − x̄)²/(n − n/n_e), degrees n (1 − ρ²)/(1 + ρ²) − 1; ρ is the correlation from one reading to the next, given for the whole recording because a cell holds too few to tell.
 *
 * @param values readings of the cell, no NaN
 * @param pulls number of the pull each comes from
 * @param correlation ρ, 0 to below 1
 *
 * Source: first-order autoregressive readings; n_e as in Bayley & Hammersley, J. R. Stat. Soc. Suppl. 8 (1946) 184 (from memory).
 */
export function cellMean(values: readonly number[], pulls: readonly number[], correlation: number): CellMean {
  const count = values.length;
  const mean = values.reduce((sum, value) => sum + value, 0) / count;
  const distinct = new Set(pulls).size;
  if (count < 2) return { mean, count, pulls: distinct, standardDeviation: null, standardError: null, degrees: 0 };
  const squares = values.reduce((sum, value) => sum + (value - mean) ** 2, 0);
  // Readings that one independent reading is worth; never so many that less than half the squares' degrees are left.
  const worth = Math.min((1 + correlation) / (1 - correlation), (count + 1) / 2);
  const standardDeviation = Math.sqrt(squares / (count - worth));
  return {
    mean,
    count,
    pulls: distinct,
    standardDeviation,
    standardError: standardDeviation * Math.sqrt(worth / count),
    degrees: Math.max(1, (count * (1 - correlation ** 2)) / (1 + correlation ** 2) - 1),
  };
}

/**
 * Correlation from one reading to the next about the mean of their cell, pooled over all cells; 0 unless it stands out of chance.
 *
 * @param residuals readings less the mean of their cell, in the order they were read
 * @param follows 1 where a reading follows the one before without a gap, in the same cell and pull
 * @param readingsPerCell on average; taking the cell's mean away lowers the correlation by about (1 + 3 ρ)/n, which is put back
 */
export function neighbourCorrelation(residuals: readonly number[], follows: readonly (0 | 1)[], readingsPerCell: number): number {
  let square = 0;
  let product = 0;
  let pairs = 0;
  for (let i = 1; i < residuals.length; i++) {
    if (follows[i] !== 1) continue;
    square += (residuals[i]! ** 2 + residuals[i - 1]! ** 2) / 2;
    product += residuals[i]! * residuals[i - 1]!;
    pairs += 1;
  }
  if (pairs < 10 || square === 0) return 0;
  const rho = product / square;
  const bias = 1 / Math.max(5, readingsPerCell);
  if (rho + bias <= 2 / Math.sqrt(pairs)) return 0;
  return Math.min(0.95, (rho + bias) / (1 - 3 * bias));
}
