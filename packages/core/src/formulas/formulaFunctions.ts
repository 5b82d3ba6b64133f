import { localPolynomial } from '../maths/index.js';
import { anglePowers, isPlain, joinedPowers, plainPowers, raisedPowers, samePowers, timePowers, type UnitPowers } from './formulaUnit.js';

/** What a function needs and makes. */
export interface FormulaFunction {
  readonly arguments: { readonly least: number; readonly most: number };
  /** Unit of the result, or what is wrong with the units given. */
  readonly unit: (given: readonly UnitPowers[]) => UnitPowers | string;
  /** Value at one sample; null for a function over time. */
  readonly at: ((...values: number[]) => number) | null;
}

const oneOf = (at: (value: number) => number, unit: FormulaFunction['unit']): FormulaFunction => ({
  arguments: { least: 1, most: 1 },
  unit,
  at,
});

const plainToPlain: FormulaFunction['unit'] = ([given]) =>
  isPlain(given!) ? plainPowers : 'needs a plain number, such as a ratio of two like quantities';

const angleToPlain: FormulaFunction['unit'] = ([given]) =>
  isPlain(given!) || samePowers(given!, anglePowers) ? plainPowers : 'needs an angle';

const alike: FormulaFunction['unit'] = (given) =>
  given.every((powers) => samePowers(powers, given[0]!)) ? given[0]! : 'needs values of one kind';

const overTime = (unit: (value: UnitPowers, width: UnitPowers) => UnitPowers): FormulaFunction => ({
  arguments: { least: 2, most: 2 },
  unit: ([value, width]) => (samePowers(width!, timePowers) ? unit(value!, width!) : 'needs a width in time second, such as 0.4 s'),
  at: null,
});

const degToRad = Math.PI / 180;

/** A plain number is an angle in radian, as in mathematics; an angle comes in degree. */
const ofAngle = (wave: (angleRad: number) => number): Readonly<Record<'plain' | 'angle', (value: number) => number>> => ({
  plain: wave,
  angle: (value) => wave(value * degToRad),
});

const waves = { sin: ofAngle(Math.sin), cos: ofAngle(Math.cos), tan: ofAngle(Math.tan) } as const;

/** The closed set of functions. */
export const formulaFunctions: ReadonlyMap<string, FormulaFunction> = new Map<string, FormulaFunction>([
  ['abs', oneOf(Math.abs, ([given]) => given!)],
  ['sqrt', oneOf(Math.sqrt, ([given]) => raisedPowers(given!, 0.5))],
  ['exp', oneOf(Math.exp, plainToPlain)],
  ['log', oneOf(Math.log, plainToPlain)],
  ['log10', oneOf(Math.log10, plainToPlain)],
  ['sin', oneOf(waves.sin.plain, angleToPlain)],
  ['cos', oneOf(waves.cos.plain, angleToPlain)],
  ['tan', oneOf(waves.tan.plain, angleToPlain)],
  [
    'atan',
    oneOf(
      (value) => Math.atan(value) / degToRad,
      ([given]) => (isPlain(given!) ? anglePowers : 'needs a plain number, such as a ratio of two like quantities'),
    ),
  ],
  ['min', { arguments: { least: 2, most: 20 }, unit: alike, at: Math.min }],
  ['max', { arguments: { least: 2, most: 20 }, unit: alike, at: Math.max }],
  ['smooth', overTime((value) => value)],
  ['rate', overTime((value, width) => joinedPowers(value, width, -1))],
]);

/** The function to apply at a sample, which for a wave depends on whether its argument is an angle. */
export function sampleFunction(name: string, given: readonly UnitPowers[]): (...values: number[]) => number {
  const wave = waves[name as keyof typeof waves] as (typeof waves)['sin'] | undefined;
  if (wave !== undefined && Object.hasOwn(waves, name)) return samePowers(given[0]!, anglePowers) ? wave.angle : wave.plain;
  return formulaFunctions.get(name)!.at!;
}

/**
 * Value or slope of a quadratic fitted around each sample within half of `widthS` to both sides, in each unbroken run of samples by itself.
 *
 * @param timeS times of the samples, s
 * @param values values, NaN where missing
 * @param runs index ranges [from, to) that may be joined
 * @returns one number a sample; NaN where fewer than four samples support it, all lie to one side, or the result is not finite
 */
export function fittedOverTime(
  what: 'smooth' | 'rate',
  timeS: Float64Array,
  values: Float64Array,
  { runs, widthS }: { readonly runs: readonly { readonly from: number; readonly to: number }[]; readonly widthS: number },
): Float64Array {
  const out = new Float64Array(values.length).fill(Number.NaN);
  for (const { from, to } of runs) {
    const times = timeS.subarray(from, to);
    const own = values.subarray(from, to);
    for (let i = 0; i < own.length; i++) {
      if (Number.isNaN(own[i]!)) continue;
      const fit = localPolynomial(times, own, times[i]!, { halfWidth: widthS / 2, order: 2 });
      const result = fit === null ? Number.NaN : what === 'smooth' ? fit.value : fit.slope;
      if (Number.isFinite(result)) out[from + i] = result;
    }
  }
  return out;
}
