/** A stream of pseudo-random numbers that depends on nothing but its seed. */
export interface Random {
  /** Next number, evenly spread over [0, 1). */
  uniform(): number;
  /** Next number of the standard normal distribution. */
  normal(): number;
}

const mask64 = (1n << 64n) - 1n;

/**
 * The first `count` outputs of SplitMix64, used to spread a small seed over a generator's whole state.
 *
 * Source: G. L. Steele, D. Lea, C. H. Flood, "Fast splittable pseudorandom number generators", OOPSLA 2014.
 */
export function splitMix64(seed: bigint, count: number): bigint[] {
  let state = seed & mask64;
  return Array.from({ length: count }, () => {
    state = (state + 0x9e3779b97f4a7c15n) & mask64;
    let z = state;
    z = ((z ^ (z >> 30n)) * 0xbf58476d1ce4e5b9n) & mask64;
    z = ((z ^ (z >> 27n)) * 0x94d049bb133111ebn) & mask64;
    return z ^ (z >> 31n);
  });
}

/**
 * Next unsigned 32-bit output of xoshiro128**; the four-word state is advanced in place.
 *
 * Source: D. Blackman, S. Vigna, "Scrambled linear pseudorandom number generators", ACM TOMS 47 (2021), 36.
 */
export function xoshiro128(state: Uint32Array): number {
  const rotate = (x: number, by: number): number => (x << by) | (x >>> (32 - by));
  const s1 = state[1]!;
  const output = Math.imul(rotate(Math.imul(s1, 5), 7), 9) >>> 0;
  state[2]! ^= state[0]!;
  state[3]! ^= s1;
  state[1]! ^= state[2]!;
  state[0]! ^= state[3]!;
  state[2]! ^= s1 << 9;
  state[3] = rotate(state[3]!, 11);
  return output;
}

/**
 * A seeded stream: xoshiro128** for the bits, the Box–Muller transform for normal numbers.
 *
 * Source: G. E. P. Box, M. E. Muller, Annals of Mathematical Statistics 29 (1958) 610–611.
 *
 * @param seed whole number, 0 or more.
 * @throws RangeError when the seed is not a safe whole number of 0 or more.
 */
export function seededRandom(seed: number): Random {
  if (!Number.isSafeInteger(seed) || seed < 0) throw new RangeError(`seed must be a whole number of 0 or more, got ${seed}`);
  const [a, b] = splitMix64(BigInt(seed), 2);
  const state = Uint32Array.of(Number(a! & 0xffffffffn), Number(a! >> 32n), Number(b! & 0xffffffffn), Number(b! >> 32n));
  let spare: number | null = null;
  const uniform = (): number => (xoshiro128(state) * 0x200000 + (xoshiro128(state) >>> 11)) / 2 ** 53;
  const normal = (): number => {
    if (spare !== null) {
      const kept = spare;
      spare = null;
      return kept;
    }
    const radius = Math.sqrt(-2 * Math.log(1 - uniform()));
    const angle = 2 * Math.PI * uniform();
    spare = radius * Math.sin(angle);
    return radius * Math.cos(angle);
  };
  return { uniform, normal };
}
