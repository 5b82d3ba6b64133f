import { cholesky, choleskyLogDeterminant, choleskySolve } from '../maths/index.js';
import { type ArrowSystem, eliminatePulls, type ReducedSystem } from './arrow.js';
import type { ParameterLayout } from './torqueParameters.js';

/** Variances that the data choose, as standard deviations of the logarithm of torque. */
export interface Smoothness {
  /** Of the differences of the common curve's coefficients. */
  readonly roughness: number;
  /** Of a pull's own deviation in shape. */
  readonly ownShape: number;
}

/** One setup's linearised problem with what is known before the data. */
export interface SmoothedSystem {
  readonly system: ArrowSystem;
  readonly layout: ParameterLayout;
  /** Penalty of the common coefficients at roughness 1, row-major, and its rank. */
  readonly penalty: Float64Array;
  readonly penaltyRank: number;
  readonly ownSize: number;
}

const scalePrior = 0.3;
const delayPriorS = 0.3;

/** The system with its pulls eliminated at one spread of own shape, null where it is singular. */
export function reducedAt({ system, layout, ownSize }: SmoothedSystem, ownShape: number): ReducedSystem | null {
  const prior = layout.pulls.map(({ size, scale, delays, starts }) => {
    const diagonal = new Float64Array(size);
    diagonal[0] = 1 / scalePrior ** 2;
    diagonal.fill(1 / ownShape ** 2, 1, 1 + ownSize);
    diagonal.fill(1 / delayPriorS ** 2, delays - scale, starts - scale);
    return diagonal;
  });
  return eliminatePulls(system, prior);
}

/** Cholesky factor of the reduced common block with its penalty at one roughness, null where it is not positive definite. */
export function commonFactor({ system, penalty }: SmoothedSystem, reduced: ReducedSystem, roughness: number): Float64Array | null {
  const precision = 1 / roughness ** 2;
  return cholesky(
    reduced.common.map((value, i) => value + precision * penalty[i]!),
    system.commonSize,
  );
}

/** −2 × restricted log-likelihood of the linearised problem, up to a constant. */
function restrictedDeviance(setup: SmoothedSystem, reduced: ReducedSystem, smoothness: Smoothness): number {
  const { system, layout, ownSize, penaltyRank } = setup;
  const factor = commonFactor(setup, reduced, smoothness.roughness);
  if (factor === null) return Number.POSITIVE_INFINITY;
  const solution = choleskySolve(factor, system.commonSize, reduced.right);
  let explained = reduced.explained;
  for (let i = 0; i < system.commonSize; i++) explained += solution[i]! * reduced.right[i]!;
  const logPrior = -2 * penaltyRank * Math.log(smoothness.roughness) - 2 * layout.pulls.length * ownSize * Math.log(smoothness.ownShape);
  return choleskyLogDeterminant(factor, system.commonSize) + reduced.logDeterminant - logPrior + system.total - explained;
}

/**
 * Smoothness by restricted maximum likelihood over all setups together: coordinate search on a logarithmic grid.
 *
 * @param firstStep Of the search, in logarithms; it halves down to 0.1.
 * @returns The best found; `from` where the likelihood has no value.
 *
 * Source: Ruppert, Wand & Carroll, Semiparametric Regression (2003), ch. 4.
 */
export function chooseSmoothness(setups: readonly SmoothedSystem[], from: Smoothness, firstStep: number): Smoothness {
  // Eliminating the pulls is most of the work and depends on their spread of shape alone.
  const reductions = new Map<number, (ReducedSystem | null)[]>();
  const costs = new Map<string, number>();
  const cost = (roughness: number, shape: number): number => {
    const key = `${roughness.toFixed(6)} ${shape.toFixed(6)}`;
    const known = costs.get(key);
    if (known !== undefined) return known;
    const candidate = { roughness: Math.exp(roughness), ownShape: Math.exp(shape) };
    const place = Number(shape.toFixed(6));
    const reduced = reductions.get(place) ?? setups.map((setup) => reducedAt(setup, candidate.ownShape));
    reductions.set(place, reduced);
    // Weak priors, one observation's worth, keep both away from zero and infinity: roughness about 1 %, own shape about 0.3 %.
    let total = ((roughness - Math.log(0.01)) / 2) ** 2 + ((shape - Math.log(0.003)) / 1.2) ** 2;
    setups.forEach((setup, index) => {
      const own = reduced[index]!;
      total += own === null ? Number.POSITIVE_INFINITY : restrictedDeviance(setup, own, candidate);
    });
    costs.set(key, total);
    return total;
  };
  let roughness = Math.log(from.roughness);
  let shape = Math.log(from.ownShape);
  let best = cost(roughness, shape);
  for (let step = firstStep; step > 0.1; step /= 2) {
    for (let moved = true; moved; ) {
      moved = false;
      for (const [dr, ds] of [
        [step, 0],
        [-step, 0],
        [0, step],
        [0, -step],
      ] as const) {
        const value = cost(roughness + dr, shape + ds);
        if (value < best - 1e-6) {
          best = value;
          roughness += dr;
          shape += ds;
          moved = true;
        }
      }
    }
  }
  return { roughness: Math.exp(roughness), ownShape: Math.exp(shape) };
}
