import jstat from 'jstat';

/**
 * Two-sided quantile of Student's t: the t that |T| exceeds with probability 1 − level.
 *
 * @param level Coverage, 0 to 1, for example 0.95.
 * @param degrees Degrees of freedom, above 0; Infinity gives the normal value.
 * @returns The quantile, above 0.
 *
 * Source: jstat (MIT); checked against R's `qt` in the tests.
 *
 * @example
 * ```ts
 * import { studentTTwoSided } from '@pullproof/core';
 * Math.abs(studentTTwoSided(0.95, 4) - 2.776445) < 1e-5; // => true
 * ```
 */
export function studentTTwoSided(level: number, degrees: number): number {
  if (!(degrees > 0)) return Number.NaN;
  return degrees > 1e6 ? normalTwoSided(level) : knownT(level, degrees);
}

/** Quantiles that were asked for before: the same few degrees of freedom come again at every engine speed. */
const known = new Map<number, Map<number, number>>();
/** Levels times degrees that are remembered. */
const mostKnown = 4096;

function knownT(level: number, degrees: number): number {
  let ofLevel = known.get(level);
  if (ofLevel === undefined || ofLevel.size >= mostKnown) {
    ofLevel = new Map();
    known.set(level, ofLevel);
  }
  let t = ofLevel.get(degrees);
  if (t === undefined) {
    t = jstat.jStat.studentt.inv((1 + level) / 2, degrees);
    ofLevel.set(degrees, t);
  }
  return t;
}

/** Two-sided quantile of the standard normal: 1.959964 at level 0.95. */
export function normalTwoSided(level: number): number {
  return jstat.jStat.normal.inv((1 + level) / 2, 0, 1);
}

/** Two-sided p-value of Student's t. */
export function studentTPValue(t: number, degrees: number): number {
  return 2 * (1 - jstat.jStat.studentt.cdf(Math.abs(t), degrees));
}

/** P(Z < z) of the standard normal. */
export function normalBelow(z: number): number {
  return jstat.jStat.normal.cdf(z, 0, 1);
}
