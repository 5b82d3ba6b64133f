import { readLog } from '@pullproof/core';
import { makeLog, plainLogger, rpmPerMps, studyAir, studyCar, studyPowerW } from '@pullproof/simulation';
import { describe, expect, it } from 'vitest';
import { calibrateSpeed } from '../../../packages/core/src/power/index.js';
import { findStretches } from '../../../packages/core/src/stretches/index.js';

const pull = { kind: 'pull', gear: 3, fromRpm: 2400, toRpm: 6500 } as const;

/** Calibration from a simulated log with three pulls, over the true ratio. */
function ratio(
  roadSpeed: Parameters<typeof plainLogger>[0] extends infer O ? (O extends { roadSpeed?: infer R } ? R : never) : never,
  seed: number,
) {
  const made = makeLog({
    car: studyCar,
    around: studyAir,
    engine: { fullLoadWheelPowerW: studyPowerW },
    phases: [pull, pull, pull],
    logger: plainLogger({ roadSpeed: roadSpeed! }),
    seed,
  });
  const found = findStretches(readLog(new TextEncoder().encode(made.text), { path: 'a.csv' }));
  const fit = calibrateSpeed(
    found.signals,
    found.pulls.flatMap((one) => one.spans),
  )!;
  return { share: fit.rpmPerMps / rpmPerMps(studyCar, 3) - 1, fit };
}

describe('gearing from the recording', () => {
  it('is within 0.1 % with 0.1 km/h steps', () => {
    expect(Math.abs(ratio({}, 1).share)).toBeLessThan(1e-3);
  });
  it('does not take a delay of the speed channel for gearing', () => {
    const { share, fit } = ratio({ lagS: 0.25 }, 2);
    expect(Math.abs(share)).toBeLessThan(3e-3);
    expect(Math.abs(fit.delayS - 0.25)).toBeLessThan(0.06);
  });
  it('is within three of its own errors in whole km/h', () => {
    for (let seed = 1; seed <= 10; seed++) {
      const { share, fit } = ratio({ step: 1, decimals: 0 }, seed);
      expect(Math.abs(share)).toBeLessThan(Math.max(3 * fit.relativeError, 3e-3));
    }
  });
  it('is refused without road speed', () => {
    expect(calibrateSpeed({ log: null as never, engine: null, road: null }, [])).toBeNull();
  });
});
