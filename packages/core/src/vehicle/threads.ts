import { PullproofError } from '../findings/index.js';

/** A screw thread, and what of its section carries load. */
export interface Thread {
  /** Our own spelling: `M8x1.25`, `3/8-16 UNC`. */
  readonly name: string;
  readonly system: 'metric' | 'inch';
  readonly diameterM: number;
  readonly pitchM: number;
  readonly stressAreaM2: number;
  /** Standard that sizes and stress area come from. */
  readonly source: string;
}

const inchM = 0.0254;

/** Coarse pitches by diameter, mm. Source: [ISO261] (from memory). */
const coarsePitchMm: ReadonlyMap<number, number> = new Map([
  [2, 0.4],
  [2.5, 0.45],
  [3, 0.5],
  [3.5, 0.6],
  [4, 0.7],
  [5, 0.8],
  [6, 1],
  [7, 1],
  [8, 1.25],
  [10, 1.5],
  [12, 1.75],
  [14, 2],
  [16, 2],
  [18, 2.5],
  [20, 2.5],
  [22, 2.5],
  [24, 3],
  [27, 3],
  [30, 3.5],
  [33, 3.5],
  [36, 4],
]);

/** Threads to the inch, coarse and fine, by diameter. Source: [ASMEB1.1] (from memory). */
const threadsToTheInch: ReadonlyMap<string, readonly [diameterIn: number, coarse: number, fine: number]> = new Map([
  ['#4', [0.112, 40, 48]],
  ['#6', [0.138, 32, 40]],
  ['#8', [0.164, 32, 36]],
  ['#10', [0.19, 24, 32]],
  ['1/4', [1 / 4, 20, 28]],
  ['5/16', [5 / 16, 18, 24]],
  ['3/8', [3 / 8, 16, 24]],
  ['7/16', [7 / 16, 14, 20]],
  ['1/2', [1 / 2, 13, 20]],
  ['9/16', [9 / 16, 12, 18]],
  ['5/8', [5 / 8, 11, 18]],
  ['3/4', [3 / 4, 10, 16]],
  ['7/8', [7 / 8, 9, 14]],
]);

/**
 * Stress area of a thread, the section whose breaking it goes by.
 *
 * A_s = π/4 (d − 0.9382 P)² for metric threads; the inch form π/4 (D − 0.9743/n)² has 0.9743 in place of 0.9382
 *
 * @param diameterM nominal diameter, m
 * @param pitchM m
 * @param options `system`, default metric
 * @returns m²
 * @throws E_THREAD when the pitch leaves nothing of the diameter
 *
 * Source: [ISO898-1], [ASMEB1.1] (both from memory).
 *
 * @example
 * ```ts
 * import { threadStressAreaM2 } from '@pullproof/core';
 *
 * (threadStressAreaM2(0.008, 0.00125) * 1e6).toFixed(1); // => '36.6'
 * ```
 */
export function threadStressAreaM2(diameterM: number, pitchM: number, options: { readonly system?: 'metric' | 'inch' } = {}): number {
  const coreM = diameterM - (options.system === 'inch' ? 0.9743 : 0.9382) * pitchM;
  if (!(pitchM > 0) || !(coreM > 0)) {
    throw new PullproofError('E_THREAD', `A diameter of ${diameterM} m with a pitch of ${pitchM} m is no thread.`, {}, 'Check the size.');
  }
  return (Math.PI / 4) * coreM * coreM;
}

/**
 * The thread that a size means.
 *
 * @param size as people write it: `M8`, `M8x1.25`, `M10 x 1.25 x 40`, `3/8-16`, `3/8 UNF`, `#10-32`; a metric size without a pitch is the coarse one
 * @returns null where no such thread is known here, or an inch size does not say coarse or fine
 *
 * Validity: M2 to M36 with pitches up to the coarse one; unified threads #4 to 7/8 in, coarse and fine.
 *
 * Source: [ISO261], [ASMEB1.1] (both from memory).
 *
 * @example
 * ```ts
 * import { threadFromSize } from '@pullproof/core';
 *
 * threadFromSize('M8')?.name; // => 'M8x1.25'
 * threadFromSize('3/8-24')?.name; // => '3/8-24 UNF'
 * ```
 */
export function threadFromSize(size: string): Thread | null {
  const text = size.trim().toUpperCase().replaceAll('×', 'X').replaceAll(',', '.');
  const metric = /^M\s*(\d+(?:\.\d+)?)(?:\s*[X*-]\s*(\d+(?:\.\d+)?))?(?:\s*[X*-]\s*\d+(?:\.\d+)?(?:\s*MM)?)?$/.exec(text);
  if (metric !== null) return metricThread(Number(metric[1]), metric[2] === undefined ? null : Number(metric[2]));
  const inch = /^(#\d+|\d+\/\d+)\s*(?:IN|INCH|")?\s*(?:-\s*(\d+))?\s*(UNC|UNF)?$/.exec(text.replace(/^NO\.?\s*/, '#'));
  return inch === null ? null : inchThread(inch[1]!, inch[2] === undefined ? null : Number(inch[2]), inch[3]);
}

function metricThread(diameterMm: number, writtenPitchMm: number | null): Thread | null {
  const coarse = coarsePitchMm.get(diameterMm);
  if (coarse === undefined) return null;
  // `M8x30` gives a length, not a pitch; no metric thread of these has more than its coarse pitch.
  const isLength = writtenPitchMm !== null && writtenPitchMm > 6;
  const pitchMm = writtenPitchMm === null || isLength ? coarse : writtenPitchMm;
  if (pitchMm > coarse || pitchMm < 0.2) return null;
  const [diameterM, pitchM] = [diameterMm / 1000, pitchMm / 1000];
  return {
    name: `M${diameterMm}x${pitchMm}`,
    system: 'metric',
    diameterM,
    pitchM,
    stressAreaM2: threadStressAreaM2(diameterM, pitchM),
    source: 'ISO 261, ISO 898-1',
  };
}

function inchThread(size: string, perInch: number | null, series: string | undefined): Thread | null {
  const known = threadsToTheInch.get(size);
  if (known === undefined) return null;
  const [diameterIn, coarse, fine] = known;
  const count = perInch ?? (series === 'UNC' ? coarse : series === 'UNF' ? fine : null);
  if (count !== coarse && count !== fine) return null;
  if (series !== undefined && count !== (series === 'UNC' ? coarse : fine)) return null;
  const [diameterM, pitchM] = [diameterIn * inchM, inchM / count];
  return {
    name: `${size}-${count} ${count === coarse ? 'UNC' : 'UNF'}`,
    system: 'inch',
    diameterM,
    pitchM,
    stressAreaM2: threadStressAreaM2(diameterM, pitchM, { system: 'inch' }),
    source: 'ASME B1.1',
  };
}
