import type { PowerDifference } from '../../../compare/index.js';
import { inputEffects, type PreparedPull } from '../../../power/index.js';
import type { FittedSetup, TrialPull } from '../../../pulls/index.js';

/** Inputs of a pull's power whose effect explanations ask for. */
export type EffectName = 'mass' | 'wind' | 'grade' | 'speed scale, tyre slip and growth';

/** A unit of every input: 1 kg, 1 m/s of headwind, a grade of 1, a speed scale of twice as much, each to first order. */
const perUnit = {
  massSpreadKg: 1,
  windSpreadMps: 1,
  gradeSpread: 1,
  speedScaleSpread: 1,
} as const;

/** Power that one unit more of an input puts into the result of a pull at an engine speed, W; NaN where the pull does not reach. */
function powerPerUnit(pull: TrialPull, name: EffectName, at: { readonly rpm: number; readonly powerW: number }): number {
  const { conditions, motion }: PreparedPull = pull.prepared!;
  const { massKg, windMps, grade } = conditions;
  const effects = inputEffects(
    {
      ...conditions,
      heading: 1,
      massKg: { value: massKg.value, spread: perUnit.massSpreadKg },
      windMps: { value: windMps.value, spread: perUnit.windSpreadMps },
      grade: { value: grade.value, spread: perUnit.gradeSpread },
      speedScaleSpread: perUnit.speedScaleSpread,
    },
    at.powerW,
    at.rpm / motion.rpmPerMps,
  );
  return effects.find((effect) => effect.name === name)!.powerW;
}

/**
 * Mean over a setup's pulls, along the grid of a difference, of what an amount of an input that each pull has puts into its power, W.
 *
 * @param amount of a pull, in the unit of the input
 */
export function meanEffectW(
  setup: FittedSetup,
  difference: PowerDifference,
  name: EffectName,
  amount: (pull: TrialPull) => number,
): Float64Array {
  const { engineSpeedRpm, beforeW, afterW } = difference;
  return engineSpeedRpm.map((rpm, i) => {
    const powerW = (beforeW[i]! + afterW[i]!) / 2;
    return setup.used.reduce((sum, pull) => sum + powerPerUnit(pull, name, { rpm, powerW }) * amount(pull), 0) / setup.used.length;
  });
}

/** Mean of a number over a setup's used pulls. */
export function meanOfPulls(setup: FittedSetup, value: (pull: TrialPull) => number): number {
  return setup.used.reduce((sum, pull) => sum + value(pull), 0) / setup.used.length;
}

/** Lowest and highest of some possible effects along the grid, nothing at all among them. */
export function rangeOf(effects: readonly Float64Array[], points: number): { readonly lowW: Float64Array; readonly highW: Float64Array } {
  const at = (pick: (...values: number[]) => number): Float64Array =>
    Float64Array.from({ length: points }, (_, i) => pick(0, ...effects.map((effect) => effect[i]!)));
  return { lowW: at(Math.min), highW: at(Math.max) };
}
