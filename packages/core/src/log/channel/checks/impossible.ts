import type { Finding, Place } from '../../../findings/index.js';
import { counted } from '../../text/counted.js';
import { rangeOf } from '../valueRange.js';

/** No quantity of a car comes near this, in its SI unit: not an injector's pressure (1e8 Pa), not a turbine (1e6 rpm). Common practice, no source. */
const mostSi = 1e9;

/** Nothing on a car is colder. */
const leastK = 1;

/**
 * Takes out numbers that the quantity cannot have: beyond a thousand million of its SI unit, or a temperature below 1 K. Left in, a single
 * one would swallow every mean and sum that it enters.
 *
 * @param values logged numbers; those found become NaN
 * @param toSi what makes SI of them, rising; null where they are SI
 * @returns a finding with the count, or null
 */
export function takeOutImpossible(
  values: Float64Array,
  temperature: boolean,
  toSi: ((value: number) => number) | null,
  timeS: Float64Array,
  where: Place,
): Finding | null {
  const can = (value: number): boolean => {
    const si = toSi === null ? value : toSi(value);
    return Math.abs(si) <= mostSi && (si >= leastK || !temperature);
  };
  const { min, max, count } = rangeOf(values);
  if (count === 0 || (can(min) && can(max))) return null;
  let taken = 0;
  let [first, last] = [-1, -1];
  for (let i = 0; i < values.length; i++) {
    if (Number.isNaN(values[i]!) || can(values[i]!)) continue;
    values[i] = Number.NaN;
    taken++;
    first = first < 0 ? i : first;
    last = i;
  }
  return {
    code: 'W_OUT_OF_RANGE',
    severity: 'warning',
    message: `${counted(taken, 'number')} that the channel cannot have${temperature ? ', such as below absolute zero' : ', far too large'}: counted as missing.`,
    where: { ...where, fromTimeS: timeS[first]!, toTimeS: timeS[last]! },
    fix: 'Check the sensor and the logger.',
    count: taken,
  };
}
