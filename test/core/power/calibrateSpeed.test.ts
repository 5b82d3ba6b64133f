import { readLog } from '@pullproof/core';
import { makeLog, plainLogger, rpmPerMps, studyAir, studyCar, studyPowerW } from '@pullproof/simulation';
import { describe, expect, it } from 'vitest';
import { calibrateSpeed } from '../../../packages/core/src/power/index.js';
import { findStretches, type MotionSignals, type Readings } from '../../../packages/core/src/stretches/index.js';
import { errors, stamps } from './simulatedPull.js';

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
    expect(calibrateSpeed({ engine: null, road: null }, [])).toBeNull();
  });
});

describe('gearing from readings', () => {
  const kappa = 160;
  const readings = (timeS: Float64Array, values: Float64Array, options: { quantum?: number; refreshS?: number } = {}): Readings => {
    const { quantum = 0, refreshS } = options;
    const channel = { quantum, refreshS: refreshS === undefined ? null : { median: refreshS } };
    return { channel: channel as Readings['channel'], timeS, values };
  };
  const rpmAt = (t: number): number => 2500 + 600 * t;
  /** Engine speed at one rate, road speed of it `lateS` ago at another, both for 7 s. */
  const signals = (
    options: { hz?: number; engineHz?: number; lateS?: number; off?: (i: number) => number; quantum?: number; slower?: number } = {},
  ): Pick<MotionSignals, 'engine' | 'road'> => {
    const { hz = 20, engineHz = 25, lateS = 0, off = () => 0, quantum = 0, slower = 1 } = options;
    const engineS = stamps(0, 7, engineHz);
    const roadS = stamps(0, 7, hz);
    return {
      engine: readings(engineS, engineS.map(rpmAt), { refreshS: 1 / engineHz }),
      road: readings(
        roadS,
        roadS.map((t, i) => (slower * rpmAt(t - lateS)) / kappa + off(i)),
        { quantum },
      ),
    };
  };
  const whole = [{ fromS: 0, toS: 7 }];

  it.each([0, 0.25, -0.1])('without noise is the ratio itself, and a delay of %s s', (lateS) => {
    const fit = calibrateSpeed(signals({ lateS }), whole)!;
    expect(fit.rpmPerMps / kappa).toBeCloseTo(1, 4);
    // A delay is pulled towards none by what one reading at 0.1 m/s would say.
    expect(fit.delayS).toBeCloseTo(lateS, 2);
    expect(fit.readings).toBe(141);
  });

  it.each([
    ['long', 7, 0, 80, 1],
    ['long, late by 0.25 s', 7, 0.25, 80, 1],
    // Student's t of 13 readings and two unknowns: √(11/9).
    ['of 13 readings', 0.6, 0, 400, Math.sqrt(11 / 9)],
  ])('has the error that repeated recordings show: %s', (_, toS, lateS, draws, wanted) => {
    const ratios = Array.from({ length: draws }, (__, seed) => {
      const fit = calibrateSpeed(signals({ lateS, off: errors(seed + 1, 0.2) }), [{ fromS: 0, toS }])!;
      return (fit.rpmPerMps / kappa - 1) / fit.relativeError;
    });
    const rms = Math.sqrt(ratios.reduce((sum, x) => sum + x * x, 0) / draws);
    // 80 draws: a standard deviation is known to 8 %, 400: to 4 %. Bends at two deviations cost a few per cent, of 13 readings a seventh.
    expect(Math.abs(rms / wanted - 1)).toBeLessThan(draws === 400 ? 0.2 : 0.25);
  });

  it('takes a delay for what is believed of delays, 0.3 s, where eight readings cannot tell it from gearing', () => {
    // By themselves they would know the ratio to 0.2 m/s over 64 rpm · √8 of 1/160 m/s a rpm, 18 %, and the delay to 0.8 s.
    const rms = (of: (fit: NonNullable<ReturnType<typeof calibrateSpeed>>) => number): number => {
      const off = Array.from({ length: 100 }, (_, seed) =>
        of(calibrateSpeed(signals({ off: errors(seed + 1, 0.2) }), [{ fromS: 0, toS: 0.35 }])!),
      );
      return Math.sqrt(off.reduce((sum, x) => sum + x * x, 0) / off.length);
    };
    expect(rms(({ delayS }) => delayS)).toBeLessThan(0.3);
    expect(rms(({ rpmPerMps }) => rpmPerMps / kappa - 1)).toBeLessThan((0.3 * 600) / 2500);
  });

  it('is not led astray by a few wild readings', () => {
    const noise = errors(3, 0.05);
    const fit = calibrateSpeed(signals({ lateS: 0.1, off: (i) => noise() + (i > 60 && i % 10 === 0 ? 15 : 0) }), whole)!;
    expect(Math.abs(fit.rpmPerMps / kappa - 1)).toBeLessThan(0.002);
    expect(Math.abs(fit.delayS - 0.1)).toBeLessThan(0.05);
  });

  it('takes residuals within a step of the speed for no more than its rounding', () => {
    // Whole m/s: half a step off is not wild, so that every reading keeps its weight; the ratio comes out to a tenth of a per cent.
    const stepped = signals({ quantum: 1, off: (i) => Math.round((2500 + 30 * i) / kappa) - (2500 + 30 * i) / kappa });
    const fit = calibrateSpeed(stepped, whole)!;
    expect(Math.abs(fit.rpmPerMps / kappa - 1)).toBeLessThan(0.003);
  });

  it('looks at the spans alone, ends included, where the car moves and the engine is read on both sides', () => {
    const counted = (fromS: number, toS: number, options = {}): number | undefined =>
      calibrateSpeed(signals(options), [{ fromS, toS }])?.readings;
    expect(counted(1, 2)).toBe(21);
    expect(counted(1, 1.35)).toBe(8);
    expect(counted(1, 1.3)).toBeUndefined();
    expect(counted(-5, 50)).toBe(141);
    // 3.0 m/s exactly do not count: 480 rpm at the ratio are never reached, so the road is slowed to a tenth: 3 m/s at 4800 rpm, 3.83 s.
    expect(counted(0, 7, { slower: 0.1 })).toBe(64);
    // Two engine speeds a second want a window of 1.3 s each side.
    expect(counted(0, 7, { engineHz: 2 })).toBe(141);
    const two = calibrateSpeed(signals(), [
      { fromS: 1, toS: 1.15 },
      { fromS: 3, toS: 3.15 },
    ]);
    expect(two!.readings).toBe(8);
  });

  it('is refused without engine speed or without road speed, whatever else is there', () => {
    const both = signals();
    expect(calibrateSpeed({ ...both, engine: null }, whole)).toBeNull();
    expect(calibrateSpeed({ ...both, road: null }, whole)).toBeNull();
    expect(calibrateSpeed(both, [])).toBeNull();
  });
});
