/**
 * Logarithm of the standard normal distribution function, exact far out in the lower tail too.
 *
 * ln Φ(z); Φ by its odd series for |z| < 3, by the continued fraction of Mills' ratio below −3.
 *
 * Source: Abramowitz & Stegun (1964), 26.2.11 (series) and 26.2.14 (continued fraction).
 */
export function logNormalCdf(z: number): number {
  if (z < -3) return -0.5 * z * z - logRootTwoPi + Math.log(millsRatio(-z));
  return Math.log(normalCdf(z));
}

/** Standard normal distribution function. */
export function normalCdf(z: number): number {
  if (z < -3) return Math.exp(-0.5 * z * z - logRootTwoPi) * millsRatio(-z);
  if (z > 3) return 1 - Math.exp(-0.5 * z * z - logRootTwoPi) * millsRatio(z);
  let term = z;
  let sum = z;
  for (let k = 3; Math.abs(term) > 1e-17 * Math.abs(sum); k += 2) {
    term *= (z * z) / k;
    sum += term;
  }
  return 0.5 + Math.exp(-0.5 * z * z - logRootTwoPi) * sum;
}

/** φ(z)/Φ(z), the mean excess that censoring below z hides. */
export function inverseMills(z: number): number {
  if (z < -3) return 1 / millsRatio(-z);
  return Math.exp(-0.5 * z * z - logRootTwoPi) / normalCdf(z);
}

const logRootTwoPi = 0.9189385332046727;

/** (1 − Φ(x))/φ(x) for x ≥ 3: 1/(x + 1/(x + 2/(x + 3/…))), from the far end. */
function millsRatio(x: number): number {
  let fraction = x;
  for (let k = 80; k >= 1; k--) fraction = x + k / fraction;
  return 1 / fraction;
}
