import type { CheckedLog } from '@pullproof/core';
import type { UnitSystem } from './displayUnits.js';

/** Units of pressure that make a log imperial. */
const imperialPressures: ReadonlySet<string> = new Set(['psi', 'inHg', 'inH2O']);

/**
 * Units in which a log is shown where no trial chooses them: those in which it writes its manifold pressure.
 * @param log of `check`
 * @returns `imperial` for psi and inches of mercury or water, else `metric`
 */
export function logUnits(log: Pick<CheckedLog, 'channels'>): UnitSystem {
  const pressure = log.channels.find(({ quantity }) => quantity === 'manifold-pressure');
  return pressure !== undefined && imperialPressures.has(pressure.unit) ? 'imperial' : 'metric';
}
