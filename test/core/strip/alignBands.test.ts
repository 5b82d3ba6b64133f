import { type AlignedSlip, alignSlip, findPass, type Slip } from '@pullproof/core';
import { describe, expect, test } from 'vitest';
import { type Random, seededRandom } from '../../../packages/simulation/src/index.js';
import { acceleration, clockS, groundSpeed, logOf, slip, startS, truth } from './evenAcceleration.js';

/** Wheels that turn 8 % too fast for each weight of driving force. */
const spin = 1 + (0.08 * acceleration) / 9.80665;
/** The slip as a strip prints it, with errors of the size that a slip is taken to have. */
const printed = (random: Random): Slip => {
  const off = (values: Slip['timesS'], spread: number): Slip['timesS'] =>
    Object.fromEntries(Object.entries(values).map(([mark, value]) => [mark, value + spread * random.normal()]));
  return { timesS: off(slip.timesS, 0.004), trapsMps: off(slip.trapsMps, 0.05) };
};
const sd = ({ low, high }: { low: number | null; high: number | null }): number => (high! - low!) / (2 * 1.96);

/** Root mean square of errors over their own standard uncertainties: 1 when bands promise what they hold. */
class Ratios {
  readonly clock: number[] = [];
  readonly scale: number[] = [];
  readonly keptOut: number[] = [];
  add({ clockStartS, speedScale, splits }: AlignedSlip, trueClockS: number, trueScale: number): void {
    this.clock.push((clockStartS.value - trueClockS) / sd(clockStartS));
    this.scale.push((speedScale.value - trueScale) / sd(speedScale));
    for (const split of splits) if (!split.usedInFit) this.keptOut.push((split.logS! - split.slipS!) / sd(split));
  }
  rms(): { clock: number; scale: number; keptOut: number } {
    const of = (values: readonly number[]): number => Math.sqrt(values.reduce((sum, x) => sum + x * x, 0) / values.length);
    return { clock: of(this.clock), scale: of(this.scale), keptOut: of(this.keptOut) };
  }
}

describe('bands of a slip laid beside a log', () => {
  test.each([
    ['of ground speed', false, 1],
    ['of driven wheels', true, 1 / spin],
  ])('%s are those that the errors of 120 slips make', (_what, drivenWheels, trueScale) => {
    // Source: uniform acceleration; a standard deviation from 120 values is known to 6.5 %, of 240 to 4.6 %.
    const log = logOf((t) => truth(t) * (drivenWheels && t < 20 ? spin : 1));
    const pass = findPass(log, slip)!;
    const random = seededRandom(3);
    const ratios = new Ratios();
    for (let n = 0; n < 120; n++)
      ratios.add(alignSlip(log, pass, printed(random), { ...groundSpeed, drivenWheels })!, startS + clockS, trueScale);
    for (const rms of Object.values(ratios.rms())) expect(Math.abs(rms - 1)).toBeLessThan(0.2);
  });

  test.each([
    ['whole km/h, 20 Hz', 1 / 3.6, 20],
    ['whole km/h, 10 Hz', 1 / 3.6, 10],
    ['whole mph, 10 Hz', 0.44704, 10],
  ])('hold where the speed is coarse, and are not twice as wide as need be: %s', (_what, quantumMps, hz) => {
    const random = seededRandom(4);
    const ratios = new Ratios();
    for (let n = 0; n < 60; n++) {
      const [lateS, gain] = [random.uniform(), 1 + 0.02 * random.normal()];
      const log = logOf((t) => Math.round((truth(t - lateS) * (t - lateS < 20 ? spin : 1) * gain) / quantumMps) * quantumMps, { hz });
      const found = alignSlip(log, findPass(log, slip)!, printed(random), { ...groundSpeed, drivenWheels: true, quantumMps })!;
      ratios.add(found, startS + clockS + lateS, 1 / spin / gain);
    }
    const { clock, scale, keptOut } = ratios.rms();
    for (const rms of [clock, scale]) {
      expect(rms).toBeLessThan(1.25);
      expect(rms).toBeGreaterThan(0.5);
    }
    // Every mark carries the whole rounding by itself, so that this band is the more careful one.
    expect(keptOut).toBeLessThan(1);
    expect(keptOut).toBeGreaterThan(0.3);
  });
});
