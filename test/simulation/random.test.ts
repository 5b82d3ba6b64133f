import { describe, expect, it } from 'vitest';
import { seededRandom, splitMix64, xoshiro128 } from '../../packages/simulation/src/index.js';

describe('random', () => {
  it('SplitMix64 gives the published outputs', () => {
    // Source: reference C program of SplitMix64 (S. Vigna, 2015) with seed 1234567, outputs quoted from memory.
    expect(splitMix64(1234567n, 5)).toEqual([
      6457827717110365317n,
      3203168211198807973n,
      9817491932198370423n,
      4593380528125082431n,
      16408922859458223821n,
    ]);
  });

  it('xoshiro128** gives the outputs of the reference program', () => {
    // Source: reference C program of xoshiro128** (D. Blackman, S. Vigna, 2018) from the state 1, 2, 3, 4, outputs quoted from memory;
    // the first two also by hand: rotl(2·5, 7)·9 = 11520, then state word 1 is 0.
    const state = Uint32Array.of(1, 2, 3, 4);
    expect(Array.from({ length: 4 }, () => xoshiro128(state))).toEqual([11520, 0, 5927040, 70819200]);
  });

  it('normal numbers follow the normal distribution', () => {
    const random = seededRandom(7);
    const draws = Array.from({ length: 40_000 }, () => random.normal()).sort((a, b) => a - b);
    // Source: quantiles of the standard normal distribution, any table: 0.1 %, 2.5 %, 16 %, 50 %, 84 %, 97.5 %, 99.9 %.
    const table = [
      [0.001, -3.0902],
      [0.025, -1.96],
      [0.16, -0.9945],
      [0.5, 0],
      [0.84, 0.9945],
      [0.975, 1.96],
      [0.999, 3.0902],
    ] as const;
    for (const [share, quantile] of table) {
      const density = Math.exp((-quantile * quantile) / 2) / Math.sqrt(2 * Math.PI);
      const spread = Math.sqrt((share * (1 - share)) / draws.length) / density;
      expect(Math.abs(draws[Math.round(share * draws.length)]! - quantile)).toBeLessThan(4 * spread);
    }
    let product = 0;
    const pairs = seededRandom(8);
    for (let i = 0; i < 20_000; i++) product += pairs.normal() * pairs.normal();
    // The two numbers of one Box–Muller draw are independent: the mean product is 0 ± 1/√n.
    expect(Math.abs(product / 20_000)).toBeLessThan(4 / Math.sqrt(20_000));
  });

  it('depends on the seed alone and refuses what is not one', () => {
    expect(seededRandom(3).uniform()).toBe(seededRandom(3).uniform());
    expect(seededRandom(3).uniform()).not.toBe(seededRandom(4).uniform());
    for (const seed of [-1, 0.5, Number.NaN]) expect(() => seededRandom(seed)).toThrow(RangeError);
  });
});
