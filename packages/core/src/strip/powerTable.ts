import { PullproofError } from '../findings/index.js';

/** Wheel power against engine speed, ready to be asked at any engine speed, with the range that was measured. */
export interface PowerTable {
  /** Steady-state wheel power at full load, W. */
  readonly at: (engineSpeedRpm: number) => number;
  /** Measured range; outside it power is extrapolated. */
  readonly fromRpm: number;
  readonly toRpm: number;
}

/**
 * Makes a table of a measured curve: straight lines between its points; below it the torque of the lowest point, above it the power of the
 * highest.
 *
 * @param engineSpeedRpm rising, rpm
 * @param wheelPowerW W, one for each engine speed; null and NaN are left out
 * @returns the table
 * @throws E_STRIP_CURVE with fewer than two usable points, or engine speeds that do not rise
 *
 * Validity: outside the measured range the two rules are assumptions; {@link extrapolationSpread} says how far to trust them.
 *
 * @example
 * ```ts
 * import { powerTable } from '@pullproof/core';
 * const table = powerTable([3000, 5000], [90e3, 150e3]);
 * [table.at(1500), table.at(4000), table.at(6000)]; // => [45000, 120000, 150000]
 * ```
 */
export function powerTable(engineSpeedRpm: readonly number[], wheelPowerW: readonly (number | null)[]): PowerTable {
  const rpm: number[] = [];
  const power: number[] = [];
  engineSpeedRpm.forEach((n, i) => {
    const w = wheelPowerW[i] ?? Number.NaN;
    if (!Number.isFinite(w)) return;
    if (!(n > (rpm.at(-1) ?? 0)))
      throw new PullproofError('E_STRIP_CURVE', `engine speed must rise, at ${n} rpm it does not.`, {}, 'Sort the curve.');
    rpm.push(n);
    power.push(w);
  });
  if (rpm.length < 2) {
    throw new PullproofError(
      'E_STRIP_CURVE',
      `a power curve needs two points, given ${rpm.length}.`,
      {},
      'Log at least one pull of this setup.',
    );
  }
  const first = rpm[0]!;
  const last = rpm.at(-1)!;
  // A fine even grid makes the asking cheap: nodes of a coarser even grid stay nodes.
  const step = Math.max(5, Math.min(25, (last - first) / 40));
  const count = Math.ceil((last - first) / step) + 1;
  const even = new Float64Array(count + 1);
  let k = 0;
  for (let i = 0; i < even.length; i++) {
    const n = Math.min(first + i * step, last);
    while (rpm[k + 1]! < n) k++;
    even[i] = power[k]! + ((power[k + 1]! - power[k]!) * (n - rpm[k]!)) / (rpm[k + 1]! - rpm[k]!);
  }
  const lowTorque = power[0]! / first;
  const highPower = power.at(-1)!;
  return {
    fromRpm: first,
    toRpm: last,
    at: (n) => {
      if (n <= first) return lowTorque * n;
      if (n >= last) return highPower;
      const place = (n - first) / step;
      const i = Math.floor(place);
      return even[i]! + (even[i + 1]! - even[i]!) * (place - i);
    },
  };
}

/**
 * Relative spread (one standard deviation) that extrapolation adds to wheel power: 6 % for every 1,000 rpm outside the measured range.
 *
 * Source: common practice, no source.
 */
export function extrapolationSpread(table: PowerTable, engineSpeedRpm: number): number {
  const outside = Math.max(table.fromRpm - engineSpeedRpm, engineSpeedRpm - table.toRpm, 0);
  return (0.06 * outside) / 1000;
}
