import { studentTTwoSided } from '../../maths/index.js';
import type { BandedNumber, SlipComparison } from '../../result/index.js';

/** How passes of one setup repeat where a trial has too few to tell, s; common practice, no source. */
const usualRepeatS = 0.06;
const usualRepeatMps = 0.3;

/** Slips of two setups compared in one air: is the difference more than passes repeat within, and how many passes would settle it. */
export function compareSlips(
  before: string,
  after: string,
  carried: readonly { readonly setup: string; readonly etS: number | null; readonly trapMps: number | null }[],
): SlipComparison[] {
  const of = (setup: string, key: 'etS' | 'trapMps'): number[] =>
    carried.filter((slip) => slip.setup === setup).flatMap((slip) => slip[key] ?? []);
  const [timesBefore, timesAfter] = [of(before, 'etS'), of(after, 'etS')];
  if (timesBefore.length === 0 || timesAfter.length === 0) return [];
  const et = difference(timesBefore, timesAfter, usualRepeatS)!;
  const clear = et.low > 0 || et.high < 0;
  const few = et.degrees < 2;
  // Two-sided 5 %, found four times out of five: n = 2 (1.96 + 0.84)² s²/d² for each setup.
  const needed = Math.ceil((2 * (1.96 + 0.84) ** 2 * et.repeat ** 2) / et.value ** 2);
  const trap = difference(of(before, 'trapMps'), of(after, 'trapMps'), usualRepeatMps);
  return [
    {
      before,
      after,
      etS: { value: et.value, low: et.low, high: et.high },
      trapMps: trap === null ? null : { value: trap.value, low: trap.low, high: trap.high },
      verdict: clear ? 'more than noise' : few && Math.abs(et.value) > et.repeat ? 'cannot tell' : 'not more than noise',
      passesNeeded: clear || !(needed <= 200) ? null : Math.max(needed, 2),
      runToRunS: et.repeat,
    },
  ];
}

function difference(
  a: readonly number[],
  b: readonly number[],
  usual: number,
): (BandedNumber & { repeat: number; degrees: number }) | null {
  if (a.length === 0 || b.length === 0) return null;
  const mean = (x: readonly number[]): number => x.reduce((sum, v) => sum + v, 0) / x.length;
  const squares = (x: readonly number[]): number => x.reduce((sum, v) => sum + (v - mean(x)) ** 2, 0);
  const degrees = a.length + b.length - 2;
  // The usual repeat counts as two further degrees of freedom, so that two slips that happen to agree do not prove a car that repeats exactly.
  const repeat = Math.sqrt((squares(a) + squares(b) + 2 * usual ** 2) / (degrees + 2));
  const half = studentTTwoSided(0.95, degrees + 2) * repeat * Math.sqrt(1 / a.length + 1 / b.length);
  const value = mean(b) - mean(a);
  return { value, low: value - half, high: value + half, repeat, degrees };
}
