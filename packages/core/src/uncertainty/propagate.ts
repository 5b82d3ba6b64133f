import { type RandomStream, randomStream } from '../maths/index.js';

/** One input of a model: its best value and one standard uncertainty, with the degrees of freedom that it is known by (Infinity when left out). */
export interface UncertainInput {
  readonly value: number;
  readonly spread: number;
  readonly degrees?: number;
  /** A draw in place of the normal one, for example for a value known only to lie between two bounds. */
  readonly draw?: (stream: RandomStream) => number;
}

/** A function of the inputs' values, in their order. */
export type UncertainModel = (values: readonly number[]) => number;

/** First-order budget of a model. */
export interface FirstOrder {
  readonly value: number;
  /** Change of the result for one standard uncertainty of each input, signed. */
  readonly contributions: readonly number[];
  readonly spread: number;
  /** Effective degrees of freedom. */
  readonly degrees: number;
}

/**
 * Law of propagation of uncertainty for independent inputs: u² = Σ (∂f/∂x_i · u_i)², by central differences of one standard uncertainty.
 *
 * @returns Value, contributions, combined spread and effective degrees of freedom (Welch & Satterthwaite).
 *
 * Source: JCGM 100:2008, 5.1.2, 5.1.3 note 2, and G.4.1.
 */
export function propagateFirstOrder(model: UncertainModel, inputs: readonly UncertainInput[]): FirstOrder {
  const at = inputs.map(({ value }) => value);
  const contributions = inputs.map(({ value, spread }, i) => {
    const moved = (to: number): number => model(at.map((own, k) => (k === i ? to : own)));
    return (moved(value + spread) - moved(value - spread)) / 2;
  });
  const spread = Math.hypot(...contributions);
  let fourth = 0;
  contributions.forEach((contribution, i) => {
    const { degrees = Number.POSITIVE_INFINITY } = inputs[i]!;
    if (Number.isFinite(degrees)) fourth += contribution ** 4 / degrees;
  });
  return { value: model(at), contributions, spread, degrees: fourth === 0 ? Number.POSITIVE_INFINITY : spread ** 4 / fourth };
}

/** Distribution of a model's result. */
export interface Propagated {
  readonly mean: number;
  readonly spread: number;
  /** Ends of the interval that leaves the same probability on each side. */
  readonly low: number;
  readonly high: number;
  /** Ends of the shortest interval. */
  readonly shortestLow: number;
  readonly shortestHigh: number;
}

/**
 * Propagation of distributions by Monte Carlo: each input drawn, the model evaluated, the results sorted.
 *
 * @param options `level` 0.95, `draws` 20000, `seed` 1.
 *
 * Source: JCGM 101:2008, clause 7.
 */
export function propagateByDraws(
  model: UncertainModel,
  inputs: readonly UncertainInput[],
  options: { readonly level?: number; readonly draws?: number; readonly seed?: number } = {},
): Propagated {
  const { level = 0.95, draws = 20_000, seed = 1 } = options;
  const stream = randomStream(seed);
  const results = new Float64Array(draws);
  const values = inputs.map(({ value }) => value);
  for (let d = 0; d < draws; d++) {
    for (let i = 0; i < inputs.length; i++) {
      const { value, spread, draw } = inputs[i]!;
      values[i] = draw === undefined ? value + spread * stream.normal() : draw(stream);
    }
    results[d] = model(values);
  }
  results.sort();
  const mean = results.reduce((sum, value) => sum + value, 0) / draws;
  const spread = Math.sqrt(results.reduce((sum, value) => sum + (value - mean) ** 2, 0) / (draws - 1));
  const inside = Math.round(level * draws);
  const before = Math.floor((draws - inside) / 2);
  let shortest = 0;
  for (let i = 0; i + inside < draws; i++) {
    if (results[i + inside]! - results[i]! < results[shortest + inside]! - results[shortest]!) shortest = i;
  }
  return {
    mean,
    spread,
    low: results[before]!,
    high: results[before + inside]!,
    shortestLow: results[shortest]!,
    shortestHigh: results[shortest + inside]!,
  };
}
