import { readLog } from '@pullproof/core';
import { drive, phoneLog, seededRandom, studyAir, studyCar, studyPowerW } from '@pullproof/simulation';
import { describe, expect, it } from 'vitest';
import { cutOffShare } from '../../../packages/core/src/power/index.js';
import { findStretches } from '../../../packages/core/src/stretches/index.js';

/** Steady driving at five speeds in two gears, a phone that reads three channels five times a second, whole km/h. */
function shareOf(rounding: 'down' | 'nearest', seed: number, step = 1): number {
  const phases = [14, 19, 24, 30, 36].map(
    (speedMps) => ({ kind: 'cruise', durationS: 25, speedMps, gear: speedMps < 20 ? 3 : 4, wanderMps: 0.8 }) as const,
  );
  const driven = drive(studyCar, studyAir, { fullLoadWheelPowerW: studyPowerW }, phases, { stepS: 0.02 });
  const text = phoneLog(
    driven,
    {
      port: [
        { header: 'Engine RPM (rpm)', source: 'engineSpeedRpm', noise: 6, step: 0.25, decimals: 2 },
        { header: 'Vehicle speed (km/h)', source: 'speedMps', written: (mps) => 3.6 * mps, lagS: 0.12, step, rounding, decimals: 1 },
        { header: 'Pedal (%)', source: 'pedal', written: (share) => 100 * share, step: 0.4, decimals: 1 },
      ],
      answersHz: 15,
      rows: 'new',
    },
    seededRandom(seed),
  );
  return cutOffShare(findStretches(readLog(new TextEncoder().encode(text), { path: 'cruise.csv' })).signals);
}

describe('whole km/h that are cut off', () => {
  const mean = (rounding: 'down' | 'nearest'): number => [1, 2, 3, 4, 5, 6].reduce((sum, seed) => sum + shareOf(rounding, seed) / 6, 0);

  it('are told from rounded ones in steady driving at several speeds', () => {
    expect(mean('down')).toBeGreaterThan(0.65);
    expect(mean('nearest')).toBeLessThan(0.35);
  });

  it('do not matter where steps are fine', () => {
    expect(shareOf('down', 1, 0.1)).toBe(0);
  });
});
