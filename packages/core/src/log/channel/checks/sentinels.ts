import type { Finding, Place } from '../../../findings/index.js';
import { counted } from '../../text/counted.js';
import { resolutionOf } from '../quantum.js';
import { rangeOf } from '../valueRange.js';

/** Numbers that loggers write for a sensor that is open, shorted or absent. Common practice, no source. */
const sentinels: readonly number[] = [
  -40, -273, -273.15, 255, 511, 1023, 4095, 16383, 32767, -32768, 65534, 65535, 6553.5, 655.35, 65.535, 999, 999.9, 999.99, 9999, 9999.9,
  99999, -1, -99, -99.9, -999, -999.9, -9999, 2147483647, -2147483648, 4294967295,
];

/**
 * Takes out readings that stand for no sensor. The rule: one of the known numbers, farther from every other reading of the channel than half their whole
 * range and than twenty of their steps; or all a temperature channel ever reads is −40 °.
 *
 * @param values logged numbers; those found become NaN
 * @returns a finding with the count, or null
 */
export function takeOutSentinels(values: Float64Array, temperature: boolean, quantum: number, where: Place): Finding | null {
  // Of few different values the true step may not be seen: then the last digit counts as one.
  const step = quantum > 0 ? quantum : resolutionOf(values);
  let taken = 0;
  const seen: number[] = [];
  for (;;) {
    const { min, max, count } = rangeOf(values);
    if (count === 0) break;
    const candidate = [min, max].find((value) => sentinels.includes(value) && standsAlone(values, value, count, temperature, step));
    if (candidate === undefined) break;
    for (let i = 0; i < values.length; i++) {
      if (values[i] !== candidate) continue;
      values[i] = Number.NaN;
      taken++;
    }
    seen.push(candidate);
  }
  if (taken === 0) return null;
  return {
    code: 'W_SENTINEL',
    severity: 'warning',
    message: `${counted(taken, 'reading')} of ${seen.join(', ')} ${taken === 1 ? 'is' : 'are'} what the logger writes when a sensor is missing: no other reading comes near. Counted as missing.`,
    where,
    fix: 'Check the sensor and its plug.',
    count: taken,
  };
}

function standsAlone(values: Float64Array, candidate: number, count: number, temperature: boolean, step: number): boolean {
  let low = Number.POSITIVE_INFINITY;
  let high = Number.NEGATIVE_INFINITY;
  let others = 0;
  for (let i = 0; i < values.length; i++) {
    const value = values[i]!;
    if (value === candidate || Number.isNaN(value)) continue;
    others++;
    if (value < low) low = value;
    if (value > high) high = value;
  }
  if (others === 0) return temperature && candidate === -40;
  if (others < Math.max(3, 0.02 * count)) return false;
  const distance = candidate < low ? low - candidate : candidate - high;
  return distance > Math.max(0.5 * (high - low), 20 * step, 0.1 * Math.max(Math.abs(low), Math.abs(high)));
}
