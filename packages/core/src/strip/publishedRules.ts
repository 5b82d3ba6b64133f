import { PullproofError } from '../findings/index.js';

/** A published rule that estimates a quarter mile from peak power and weight. */
export interface QuarterMileRule {
  readonly name: 'huntington-1958' | 'hale';
  /** Speed = this · (hp/lb)^(1/3), mph. */
  readonly speedConstant: number;
  /** Elapsed time = this · (lb/hp)^(1/3), s. */
  readonly timeConstant: number;
  readonly author: string;
  readonly year: string;
  /** The power that the rule takes. */
  readonly power: string;
  readonly source: string;
}

/**
 * Published quarter-mile rules. None of them takes wheel power: feeding it makes the estimate slow by about 5.6 % at 15 % driveline loss.
 */
export const quarterMileRules: Readonly<Record<QuarterMileRule['name'], QuarterMileRule>> = {
  'huntington-1958': {
    name: 'huntington-1958',
    speedConstant: 224,
    timeConstant: 6.29,
    author: 'R. Huntington',
    year: '1958',
    power: 'peak net power at the clutch',
    source: '[HUNTINGTON1958], constants by secondary sources; street cars of the 1950s',
  },
  hale: {
    name: 'hale',
    speedConstant: 234,
    timeConstant: 5.825,
    author: 'P. Hale',
    year: 'not known',
    power: 'peak flywheel power',
    source: 'constants by secondary sources, the first publication was not seen; a car that launches well',
  },
};

/** One standard deviation of any rule with one constant, as a share: the spread of log(time/(weight/power)^(1/3)) over 32 cars in [HENDERSON1981] is 0.0588. */
export const ruleScatter = 0.06;

const kilogramsPerPound = 0.45359237;
const wattsPerHorsepower = 745.6998715822702;
const mpsPerMph = 0.44704;

/**
 * Estimates a quarter mile by a published rule of power and weight.
 *
 * mph = K (hp/lb)^(1/3), s = k (lb/hp)^(1/3).
 *
 * @param massKg mass with driver, kg
 * @param powerW the power that the rule takes, W: peak, at the flywheel
 * @param rule from {@link quarterMileRules}
 * @returns elapsed time, s, and trap speed, m/s
 * @throws E_STRIP_INPUT for a mass or power that is not a positive finite number
 *
 * Uncertainty: ±6 % (one standard deviation) on 32 cars, {@link ruleScatter}.
 * Source: the rule's own.
 *
 * @example
 * ```ts
 * import { estimateQuarterMile, quarterMileRules } from '@pullproof/core';
 * estimateQuarterMile(3500 * 0.45359237, 400 * 745.69987158, quarterMileRules.hale).elapsedTimeS.toFixed(3); // => '12.003'
 * ```
 */
export function estimateQuarterMile(
  massKg: number,
  powerW: number,
  rule: QuarterMileRule,
): { readonly elapsedTimeS: number; readonly trapMps: number } {
  requirePositive(massKg, 'mass');
  requirePositive(powerW, 'power');
  const horsepowerPerPound = powerW / wattsPerHorsepower / (massKg / kilogramsPerPound);
  return {
    elapsedTimeS: rule.timeConstant / Math.cbrt(horsepowerPerPound),
    trapMps: rule.speedConstant * mpsPerMph * Math.cbrt(horsepowerPerPound),
  };
}

/**
 * Power that a published rule reads from a trap speed: P = W (mph/K)³.
 *
 * @param massKg mass with driver, kg
 * @param trapMps trap speed, m/s
 * @param rule from {@link quarterMileRules}
 * @returns the rule's own kind of power, W
 * @throws E_STRIP_INPUT for a mass or speed that is not a positive finite number
 *
 * Uncertainty: two published rules differ by 14 % in power at one trap speed.
 *
 * @example
 * ```ts
 * import { powerFromTrapSpeed, quarterMileRules } from '@pullproof/core';
 * (powerFromTrapSpeed(3500 * 0.45359237, 110 * 0.44704, quarterMileRules.hale) / 745.69987158).toFixed(2); // => '363.58'
 * ```
 */
export function powerFromTrapSpeed(massKg: number, trapMps: number, rule: QuarterMileRule): number {
  requirePositive(massKg, 'mass');
  requirePositive(trapMps, 'trap speed');
  return (massKg / kilogramsPerPound) * (trapMps / mpsPerMph / rule.speedConstant) ** 3 * wattsPerHorsepower;
}

function requirePositive(value: number, what: string): void {
  if (value > 0 && Number.isFinite(value)) return;
  throw new PullproofError('E_STRIP_INPUT', `${what} must be a positive number, given ${value}.`, {}, 'Check the units.');
}
