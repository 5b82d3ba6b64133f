/** A stream of random numbers that the same seed always repeats. */
export interface RandomStream {
  /** Uniform on [0, 1). */
  readonly uniform: () => number;
  /** Normal with mean 0 and variance 1. */
  readonly normal: () => number;
  /** Fills a list with as many normal numbers as one draw after the other would give. */
  readonly fillNormal: (out: Float64Array) => void;
}

/**
 * Starts a seeded stream of random numbers.
 *
 * @param seed Whole number; the same seed gives the same stream.
 * @returns Uniform and standard normal draws.
 *
 * Source: sfc32 of C. Doty-Humphrey's PractRand (public domain), seeded by a splitmix32 step; normals by the polar method
 * (Marsaglia & Bray, SIAM Review 6 (1964) 260).
 *
 * @example
 * ```ts
 * import { randomStream } from '@pullproof/core';
 * randomStream(7).uniform() === randomStream(7).uniform(); // => true
 * ```
 */
export function randomStream(seed: number): RandomStream {
  let state = seed >>> 0;
  const next32 = (): number => {
    state = (state + 0x9e3779b9) >>> 0;
    let z = state;
    z = Math.imul(z ^ (z >>> 16), 0x21f0aaad);
    z = Math.imul(z ^ (z >>> 15), 0x735a2d97);
    return (z ^ (z >>> 15)) >>> 0;
  };
  let a = next32();
  let b = next32();
  let c = next32();
  let counter = 1;
  const uniform32 = (): number => {
    const sum = (((a + b) | 0) + counter) | 0;
    counter = (counter + 1) | 0;
    a = b ^ (b >>> 9);
    b = (c + (c << 3)) | 0;
    c = (c << 21) | (c >>> 11);
    c = (c + sum) | 0;
    return sum >>> 0;
  };
  for (let i = 0; i < 12; i++) uniform32();
  const uniform = (): number => ((uniform32() >>> 5) * 67108864 + (uniform32() >>> 6)) / 9007199254740992;
  // One number is kept for the next draw: the polar method gives them in pairs.
  const spare = Float64Array.of(Number.NaN);
  const fillNormal = (out: Float64Array): void => {
    let i = 0;
    if (i < out.length && !Number.isNaN(spare[0]!)) {
      out[i++] = spare[0]!;
      spare[0] = Number.NaN;
    }
    while (i < out.length) {
      const x = 2 * uniform() - 1;
      const y = 2 * uniform() - 1;
      const s = x * x + y * y;
      if (!(s > 0 && s < 1)) continue;
      const factor = Math.sqrt((-2 * Math.log(s)) / s);
      out[i++] = x * factor;
      if (i < out.length) out[i++] = y * factor;
      else spare[0] = y * factor;
    }
  };
  const one = new Float64Array(1);
  const normal = (): number => {
    fillNormal(one);
    return one[0]!;
  };
  return { uniform, normal, fillNormal };
}

/**
 * Draws from a chi-squared distribution.
 *
 * @param stream Source of randomness.
 * @param degrees Degrees of freedom, above 0.
 * @returns One draw, above 0.
 *
 * Source: gamma variates of Marsaglia & Tsang, ACM Trans. Math. Softw. 26 (2000) 363.
 */
export function chiSquaredDraw(stream: RandomStream, degrees: number): number {
  const shape = degrees / 2;
  const boosted = shape < 1 ? shape + 1 : shape;
  const d = boosted - 1 / 3;
  const c = 1 / Math.sqrt(9 * d);
  for (;;) {
    const x = stream.normal();
    const root = 1 + c * x;
    if (root <= 0) continue;
    const v = root * root * root;
    const u = stream.uniform();
    // The first bound is inside the second, and spares the logarithms nearly always.
    if (u < 1 - 0.0331 * x * x * x * x || Math.log(u) < 0.5 * x * x + d - d * v + d * Math.log(v)) {
      const gamma = d * v * (shape < 1 ? stream.uniform() ** (1 / shape) : 1);
      return 2 * gamma;
    }
  }
}
