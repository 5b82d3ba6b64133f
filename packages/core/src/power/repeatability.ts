/** A pull's level within its setup and outing. */
export interface PullLevel {
  readonly setup: number;
  readonly outingKey: string;
  /** Logarithm of the pull's power over its setup's mean. */
  readonly level: number;
  /** Variance that the readings' noise gives `level`; none when left out. */
  readonly noiseVariance?: number;
  /** −1 for a pull against the direction of the others, 0 where no direction is known, as when left out. */
  readonly heading?: 1 | -1 | 0;
}

/** Spread of repeated pulls and of outings, as standard deviations of the logarithm of power, with how well each is known. */
export interface Repeatability {
  readonly pullToPull: number;
  readonly pullDegrees: number;
  /** True when at least one setup has two pulls in one outing. */
  readonly pullMeasured: boolean;
  readonly outingToOuting: number;
  readonly outingDegrees: number;
  readonly outingMeasured: boolean;
}

/** What is assumed before any repeat is seen. Common practice, no source: 1 % between pulls; 1 % between two outings, that is 0.71 % each. */
export const assumedRepeatability: {
  readonly pullToPull: number;
  readonly pullWorth: number;
  readonly outingToOuting: number;
  readonly outingWorth: number;
} = { pullToPull: 0.01, pullWorth: 0.05, outingToOuting: 0.01 / Math.SQRT2, outingWorth: 8 };

/**
 * Pools the spread of pulls within setup and outing over the whole trial, and the spread of outings within setups.
 *
 * Each starts from what is assumed, counted as if it had been seen `pullWorth` and `outingWorth` degrees of freedom often
 * (scaled inverse chi-squared prior), so that lucky repeats do not promise more than they can keep. A twentieth of a degree is little enough
 * that bands of 3 + 3 pulls hold 94.9 to 97.4 % where pulls spread by 3 to 0.3 %, and enough that two equal pulls do not promise no spread.
 *
 * What is seen holds the noise of each pull's own level; before any repeat is seen that noise is added to what is assumed.
 *
 * @param pulls Levels of every used pull of the trial.
 * @param days How far days of this car differ where its season told it, standard deviation of the logarithm of power, and on how many days: in place of what is assumed.
 * @returns Standard deviations with degrees of freedom.
 *
 * Source: Gelman et al., Bayesian Data Analysis, 3rd ed. (2013), sec. 2.6 (pooling of variances with a conjugate prior).
 */
export function repeatability(
  pulls: readonly PullLevel[],
  days: { readonly spread: number; readonly days: number } | null = null,
): Repeatability {
  const groups = new Map<string, PullLevel[]>();
  for (const pull of pulls) {
    const key = `${pull.setup}|${pull.outingKey}`;
    groups.set(key, [...(groups.get(key) ?? []), pull]);
  }
  let squares = 0;
  let degrees = 0;
  const winds = new Map<string, { headings: number; products: number }>();
  const means: { setup: number; mean: number; count: number }[] = [];
  for (const group of groups.values()) {
    const mean = group.reduce((sum, pull) => sum + pull.level, 0) / group.length;
    for (const pull of group) squares += (pull.level - mean) ** 2;
    degrees += group.length - 1;
    const meanHeading = group.reduce((sum, pull) => sum + (pull.heading ?? 0), 0) / group.length;
    const wind = winds.get(group[0]!.outingKey) ?? { headings: 0, products: 0 };
    for (const pull of group) {
      wind.headings += ((pull.heading ?? 0) - meanHeading) ** 2;
      wind.products += ((pull.heading ?? 0) - meanHeading) * (pull.level - mean);
    }
    winds.set(group[0]!.outingKey, wind);
    means.push({ setup: group[0]!.setup, mean, count: group.length });
  }
  // Opposite directions differ by wind and slope, which one number an outing takes out.
  for (const { headings, products } of winds.values()) {
    if (headings < 1e-9) continue;
    squares -= products ** 2 / headings;
    degrees -= 1;
  }
  const { pullToPull: assumedPull, pullWorth } = assumedRepeatability;
  const assumedOuting = days?.spread ?? assumedRepeatability.outingToOuting;
  const outingWorth = days === null ? assumedRepeatability.outingWorth : days.days - 1;
  const levelNoise = pulls.reduce((sum, { noiseVariance = 0 }) => sum + noiseVariance, 0) / Math.max(1, pulls.length);
  const pullVariance = (squares + pullWorth * (assumedPull ** 2 + levelNoise)) / (degrees + pullWorth);

  let between = 0;
  let betweenDegrees = 0;
  for (const setup of new Set(means.map((entry) => entry.setup))) {
    const own = means.filter((entry) => entry.setup === setup);
    if (own.length < 2) continue;
    const mean = own.reduce((sum, entry) => sum + entry.mean, 0) / own.length;
    for (const entry of own) between += (entry.mean - mean) ** 2 - (pullVariance / entry.count) * (1 - 1 / own.length);
    betweenDegrees += own.length - 1;
  }
  const outingVariance = (Math.max(0, between) + outingWorth * assumedOuting ** 2) / (betweenDegrees + outingWorth);
  return {
    pullToPull: Math.sqrt(pullVariance),
    pullDegrees: Math.max(1, degrees + pullWorth),
    pullMeasured: degrees > 0,
    outingToOuting: Math.sqrt(outingVariance),
    outingDegrees: betweenDegrees + outingWorth,
    outingMeasured: betweenDegrees > 0 || days !== null,
  };
}

/** Weights on pulls for a difference of two setups: they sum to 1 over the later setup's pulls and to −1 over the earlier one's. */
export interface Contrast {
  readonly before: Float64Array;
  readonly after: Float64Array;
  /** Σ of squared weights: what pull-to-pull variance is multiplied by. */
  readonly pullFactor: number;
  /** Σ over outings of the squared sum of weights: what outing variance is multiplied by. */
  readonly outingFactor: number;
}

/**
 * Best linear weights for the difference of two setups when pulls of one outing share its luck (generalised least squares).
 *
 * The weights of each setup minimise the variance of the difference; pulls of the other setup's outings count more, because there
 * the luck cancels.
 *
 * @param before Outing key of each pull of the earlier setup.
 * @param after The same of the later one.
 * @param spread Standard deviations between pulls and between outings.
 */
export function contrastOf(
  before: readonly string[],
  after: readonly string[],
  spread: { readonly pullToPull: number; readonly outingToOuting: number },
): Contrast {
  // Woodbury by outing: minimise Σ w² τ² + Σ_o (Σ w_o)² σ² under the two sums. Equal weights inside (setup, outing), so the unknowns
  // are outing shares; solved by a few rounds of exact coordinate steps on a convex quadratic.
  const outings = [...new Set([...before, ...after])];
  const countBefore = outings.map((outing) => before.filter((key) => key === outing).length);
  const countAfter = outings.map((outing) => after.filter((key) => key === outing).length);
  const shareBefore = countBefore.map((count) => count / before.length);
  const shareAfter = countAfter.map((count) => count / after.length);
  const pull = spread.pullToPull ** 2;
  const outing = spread.outingToOuting ** 2;
  for (let round = 0; round < 200; round++) {
    balance(shareBefore, countBefore, shareAfter, pull, outing);
    balance(shareAfter, countAfter, shareBefore, pull, outing);
  }
  const weightsOf = (keys: readonly string[], shares: readonly number[], counts: readonly number[], sign: number): Float64Array =>
    Float64Array.from(keys, (key) => {
      const o = outings.indexOf(key);
      return (sign * shares[o]!) / counts[o]!;
    });
  const weightsBefore = weightsOf(before, shareBefore, countBefore, -1);
  const weightsAfter = weightsOf(after, shareAfter, countAfter, 1);
  const squares = (weights: Float64Array): number => weights.reduce((sum, w) => sum + w * w, 0);
  return {
    before: weightsBefore,
    after: weightsAfter,
    pullFactor: squares(weightsBefore) + squares(weightsAfter),
    outingFactor: outings.reduce((sum, _, o) => sum + (shareAfter[o]! - shareBefore[o]!) ** 2, 0),
  };
}

/** Best shares of one setup's outings, the other's held: (τ²/n_o + σ²) s_o − σ² other_o = μ with Σ s = 1. */
function balance(shares: number[], counts: readonly number[], other: readonly number[], pull: number, outing: number): void {
  let inverse = 0;
  let offset = 0;
  for (const [o, count] of counts.entries()) {
    if (count === 0) continue;
    const curvature = pull / count + outing;
    inverse += 1 / curvature;
    offset += (outing * other[o]!) / curvature;
  }
  const multiplier = (1 - offset) / inverse;
  for (const [o, count] of counts.entries()) {
    shares[o] = count === 0 ? 0 : (multiplier + outing * other[o]!) / (pull / count + outing);
  }
}
