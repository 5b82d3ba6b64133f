import { type Thread, threadFromSize } from './threads.js';

const psiPa = 6894.757293168361;

/** What a class of fastener bears without staying longer, Pa. */
interface ProofStress {
  readonly name: string;
  readonly system: Thread['system'];
  readonly pressurePa: (diameterM: number) => number;
  readonly source: string;
}

function metric(name: string, megapascal: number, above16 = megapascal): ProofStress {
  return { name, system: 'metric', pressurePa: (diameterM) => 1e6 * (diameterM > 0.016 ? above16 : megapascal), source: 'ISO 898-1' };
}

function stainless(name: string, megapascal: number): ProofStress {
  return { name, system: 'metric', pressurePa: () => 1e6 * megapascal, source: 'ISO 3506-1' };
}

function graded(name: string, ksi: number): ProofStress {
  return { name, system: 'inch', pressurePa: () => 1e3 * ksi * psiPa, source: 'SAE J429' };
}

/** Source: [ISO898-1] stress under proof load, [ISO3506-1] stress at 0.2 % strain, [SAEJ429] proof stress to 3/4 in (all from memory). */
const proofStresses: readonly ProofStress[] = [
  metric('4.6', 225),
  metric('4.8', 310),
  metric('5.6', 280),
  metric('5.8', 380),
  metric('6.8', 440),
  metric('8.8', 580, 600),
  metric('9.8', 650),
  metric('10.9', 830),
  metric('12.9', 970),
  stainless('A2-50', 210),
  stainless('A2-70', 450),
  stainless('A2-80', 600),
  stainless('A4-50', 210),
  stainless('A4-70', 450),
  stainless('A4-80', 600),
  graded('grade 2', 55),
  graded('grade 5', 85),
  graded('grade 8', 120),
];

/** As threads usually are, and dry and rough. Common practice, no source. */
const nutFactor = { usual: 0.17, high: 0.25 } as const;
/** Preload as a share of the proof load: as joints are commonly tightened, and all that it bears. Common practice, no source. */
const preloadShare = { usual: 0.75, high: 1 } as const;
/** Share of the usual torque below which a joint counts as loose; oiled and coated threads (K 0.10) ask for 0.59. Common practice, no source. */
const looseShare = 0.5;

/** Torques that a fastener of some size and class can be meant to have. */
export interface FastenerTorque {
  readonly thread: Thread;
  /** Null where the class is not given or not known: then the range spans all classes of the thread's system. */
  readonly proofLoadN: number | null;
  readonly lowNm: number;
  readonly usualNm: number;
  readonly highNm: number;
  /** How the range came about, for people. */
  readonly basis: string;
}

/**
 * Proof load of a fastener.
 *
 * F = S_p A_s
 *
 * @param thread see {@link threadFromSize}
 * @param propertyClass `8.8`, `A2-70`, or for inch threads `grade 8`, also written `8`
 * @returns N; null where the class is not known for such a thread
 *
 * Source: [ISO898-1], [ISO3506-1], [SAEJ429] (all from memory).
 *
 * @example
 * ```ts
 * import { proofLoadN, threadFromSize } from '@pullproof/core';
 *
 * proofLoadN(threadFromSize('M8')!, '8.8')?.toFixed(0); // => '21233'
 * ```
 */
export function proofLoadN(thread: Thread, propertyClass: string): number | null {
  const proof = proofOf(thread, propertyClass);
  return proof === null ? null : proof.pressurePa(thread.diameterM) * thread.stressAreaM2;
}

function proofOf({ system }: Thread, propertyClass: string): ProofStress | null {
  const plain = propertyClass
    .trim()
    .toUpperCase()
    .replace(/^(?:CLASS|SAE)\s*/, '')
    .replace(/^(?:GRADE|GR\.?)\s*/, '')
    .replace(/^(A[24])\s+/, '$1-');
  return proofStresses.find((one) => one.system === system && one.name.replace('grade ', '').toUpperCase() === plain) ?? null;
}

/**
 * Range of torque that makes sense for a fastener's size and class.
 *
 * T = K d F. Usual: K 0.17, F three quarters of the proof load. At least half of that; at most K 0.25 (dry, rough) and F all of the proof load
 *
 * @param size see {@link threadFromSize}
 * @param propertyClass null where not given
 * @returns null where the size is not known here
 *
 * Validity: steel in steel, tightened by torque alone; not for bolts tightened by an angle, soft threads, gaskets or studs, for which the maker's figure is all there is.
 *
 * Source: T = K d F and the factors: common practice, no source. Proof loads: [ISO898-1] and others, see {@link proofLoadN}.
 *
 * @example
 * ```ts
 * import { fastenerTorque } from '@pullproof/core';
 *
 * fastenerTorque('M8x1.25', '8.8')?.highNm.toFixed(0); // => '42'
 * ```
 */
export function fastenerTorque(size: string, propertyClass: string | null): FastenerTorque | null {
  const thread = threadFromSize(size);
  if (thread === null) return null;
  const { diameterM } = thread;
  const proof = propertyClass === null ? null : proofOf(thread, propertyClass);
  const classes = proof === null ? proofStresses.filter(({ system }) => system === thread.system) : [proof];
  const loads = classes.map(({ pressurePa }) => pressurePa(diameterM) * thread.stressAreaM2);
  const [least, most] = [Math.min(...loads), Math.max(...loads)];
  const which =
    proof === null
      ? `any class from ${classes.find((_, i) => loads[i] === least)!.name} to ${classes.find((_, i) => loads[i] === most)!.name}`
      : `class ${proof.name} (${proof.source}, proof load ${(most / 1000).toFixed(1)} kN)`.replace('class grade', 'grade');
  return {
    thread,
    proofLoadN: proof === null ? null : most,
    lowNm: looseShare * nutFactor.usual * diameterM * preloadShare.usual * least,
    usualNm: nutFactor.usual * diameterM * preloadShare.usual * Math.sqrt(least * most),
    highNm: nutFactor.high * diameterM * preloadShare.high * most,
    basis: `${thread.name}, ${which}; T = K d F, from half of what is usual (K ${nutFactor.usual.toFixed(2)}, F three quarters of the proof load) to K ${nutFactor.high.toFixed(2)} and F all of it (common practice, no source)`,
  };
}
