import { describe, expect, it } from 'vitest';
import { chiSquaredDraw, normalBelow, randomStream } from '../../../packages/core/src/maths/index.js';

/** Largest distance between the sample's distribution and a given one. */
function kolmogorovDistance(draws: readonly number[], below: (value: number) => number): number {
  const sorted = [...draws].sort((a, b) => a - b);
  return Math.max(...sorted.map((value, i) => Math.max((i + 1) / sorted.length - below(value), below(value) - i / sorted.length)));
}

/** The generator once more, in whole numbers without limit. */
function uniformByBigInt(seed: number): () => number {
  const mask = 0xffffffffn;
  let state = BigInt(seed);
  const next = (): bigint => {
    state = (state + 0x9e3779b9n) & mask;
    let z = state;
    z = ((z ^ (z >> 16n)) * 0x21f0aaadn) & mask;
    z = ((z ^ (z >> 15n)) * 0x735a2d97n) & mask;
    return z ^ (z >> 15n);
  };
  let [a, b, c, counter] = [next(), next(), next(), 1n];
  const word = (): bigint => {
    const sum = (a + b + counter) & mask;
    counter = (counter + 1n) & mask;
    [a, b, c] = [b ^ (b >> 9n), (c + (c << 3n)) & mask, ((((c << 21n) | (c >> 11n)) & mask) + sum) & mask];
    return sum;
  };
  for (let i = 0; i < 12; i++) word();
  return () => {
    const high = word() >> 5n;
    return Number(high * 67108864n + (word() >> 6n)) / 2 ** 53;
  };
}

describe('randomStream', () => {
  // Source: sfc32 of PractRand and the 53-bit division of M. Matsumoto, T. Nishimura, written again without 32-bit operators.
  it.each([0, 7, 4294967295])('seed %s gives the published generator', (seed) => {
    const stream = randomStream(seed);
    const again = uniformByBigInt(seed);
    for (let i = 0; i < 200; i++) expect(stream.uniform()).toBe(again());
  });

  // Kolmogorov's 0.1 % point is 1.95/√n (Source: NIST/SEMATECH e-Handbook 1.3.5.16 describes the test; the factor is from memory).
  it('is uniform and normal', () => {
    const stream = randomStream(11);
    const uniforms = Array.from({ length: 20000 }, stream.uniform);
    expect(kolmogorovDistance(uniforms, (u) => u)).toBeLessThan(1.95 / Math.sqrt(20000));
    const normals = Array.from({ length: 20000 }, stream.normal);
    expect(kolmogorovDistance(normals, normalBelow)).toBeLessThan(1.95 / Math.sqrt(20000));
  });

  it('draws normals in pairs from one point of the disc', () => {
    const stream = randomStream(3);
    const uniform = randomStream(3).uniform;
    for (let pair = 0; pair < 50; pair++) {
      let x = 0;
      let y = 0;
      let s = 0;
      do {
        x = 2 * uniform() - 1;
        y = 2 * uniform() - 1;
        s = x * x + y * y;
      } while (s >= 1);
      const factor = Math.sqrt((-2 * Math.log(s)) / s);
      expect(stream.normal()).toBe(x * factor);
      expect(stream.normal()).toBe(y * factor);
    }
  });
});

describe('chiSquaredDraw', () => {
  // Closed forms. Two degrees: 1 − exp(−x/2). Four: 1 − exp(−x/2)(1 + x/2). One: 2Φ(√x) − 1. Three: 2Φ(√x) − 1 − √(2x/π) exp(−x/2).
  it.each<[degrees: number, below: (x: number) => number]>([
    [1, (x) => 2 * normalBelow(Math.sqrt(x)) - 1],
    [2, (x) => 1 - Math.exp(-x / 2)],
    [3, (x) => 2 * normalBelow(Math.sqrt(x)) - 1 - Math.sqrt((2 * x) / Math.PI) * Math.exp(-x / 2)],
    [4, (x) => 1 - Math.exp(-x / 2) * (1 + x / 2)],
  ])('with %s degrees follows its distribution', (degrees, below) => {
    const stream = randomStream(100 + degrees);
    const draws = Array.from({ length: 20000 }, () => chiSquaredDraw(stream, degrees));
    expect(draws.every((draw) => draw > 0)).toBe(true);
    expect(kolmogorovDistance(draws, below)).toBeLessThan(1.95 / Math.sqrt(20000));
  });

  it.each([0.5, 12, 200])('with %s degrees has that mean and twice that variance', (degrees) => {
    const stream = randomStream(8);
    const count = 40000;
    const draws = Array.from({ length: count }, () => chiSquaredDraw(stream, degrees));
    const mean = draws.reduce((sum, draw) => sum + draw, 0) / count;
    const variance = draws.reduce((sum, draw) => sum + (draw - mean) ** 2, 0) / count;
    expect(Math.abs(mean / degrees - 1)).toBeLessThan(4 * Math.sqrt(2 / degrees / count));
    expect(Math.abs(variance / (2 * degrees) - 1)).toBeLessThan(4 * Math.sqrt((2 + 12 / degrees) / count));
  });
});
