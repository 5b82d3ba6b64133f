import { describe, expect, test } from 'vitest';
import { compareIdle, type SteadyReadings, steadyHealth } from '../../../packages/core/src/fuel/index.js';
import { randomStream } from '../../../packages/core/src/maths/index.js';

interface Fault {
  /** Air that leaks in, kg/s. */
  readonly leakKgPerS?: number;
  /** Air that is drawn to the sensor at idle, as a share of the exhaust. */
  readonly exhaustLeak?: number;
  /** Fuel missing everywhere, as a share. */
  readonly missingFuel?: number;
}

/**
 * A small engine model of our own: metered air, closed loop that corrects by trims, idle control that holds speed in part.
 * Idle draws 0.0035 kg/s at 32 kPa, cruise 0.014 kg/s at 48 kPa.
 */
function drive(kind: 'idle' | 'cruise', fault: Fault, seed: number): SteadyReadings {
  const random = randomStream(seed);
  const meteredKgPerS = kind === 'idle' ? 0.0035 : 0.014;
  const leakShare = (fault.leakKgPerS ?? 0) / meteredKgPerS;
  // Idle control closes the throttle against the leak, but not all the way; at cruise the driver does.
  const airShare = kind === 'idle' ? 0.5 * leakShare : 0;
  const exhaust = kind === 'idle' ? (fault.exhaustLeak ?? 0) : 0.1 * (fault.exhaustLeak ?? 0);
  const reads = (1 + leakShare) * (1 + (fault.missingFuel ?? 0)) * (1 + exhaust);
  const longTerm = 0.6 * (reads - 1);
  const timeS = Float64Array.from({ length: 600 }, (_, i) => i / 10);
  const hunt = kind === 'idle' ? 12 + 250 * leakShare : 8;
  let wander = 0;
  return {
    timeS,
    engineSpeedRpm: timeS.map(() => {
      wander = 0.9 * wander + 0.44 * random.normal();
      return (kind === 'idle' ? 780 + 900 * airShare : 2200) + hunt * wander;
    }),
    manifoldPressurePa: timeS.map(() => (kind === 'idle' ? 32000 * (1 + airShare) : 48000) + 300 * random.normal()),
    lambda: timeS.map(() => reads / (1 + longTerm) / (1 + 0.8 * (reads / (1 + longTerm) - 1)) + 0.006 * random.normal()),
    shortTermTrim: timeS.map(() => 0.8 * (reads / (1 + longTerm) - 1) + 0.004 * random.normal()),
    longTermTrim: timeS.map(() => longTerm),
  };
}

function compare(fault: Fault, seed: number, cruise = true) {
  const health = (kind: 'idle' | 'cruise', f: Fault, s: number) => steadyHealth(drive(kind, f, s));
  return compareIdle(
    health('idle', {}, seed),
    health('idle', fault, seed + 1),
    cruise ? { before: health('cruise', {}, seed + 2), after: health('cruise', fault, seed + 3) } : { before: null, after: null },
  );
}

// Regression, not truth: the engine is our own simulation.
describe('compareIdle', () => {
  test('a vacuum leak, an exhaust leak, missing fuel and a healthy engine are told apart over 100 drives each', () => {
    const verdicts = (fault: Fault): Set<string> => new Set(Array.from({ length: 100 }, (_, i) => compare(fault, 10 * i).verdict));
    expect(verdicts({})).toEqual(new Set(['nothing unusual']));
    expect(verdicts({ leakKgPerS: 0.0009 })).toEqual(new Set(['vacuum leak']));
    expect(verdicts({ exhaustLeak: 0.1 })).toEqual(new Set(['exhaust leak before the sensor']));
    expect(verdicts({ missingFuel: 0.08 })).toEqual(new Set(['lean everywhere']));
  });

  test('where the deciding sign is missing it says so', () => {
    const noCruise = compare({ exhaustLeak: 0.1 }, 1, false);
    expect(noCruise.verdict).toBe('cannot tell');
    expect(noCruise.open[0]).toContain('cruise');
    const blind = (fault: Fault, seed: number) => steadyHealth({ ...drive('idle', fault, seed), manifoldPressurePa: null });
    const noPressure = compareIdle(blind({}, 1), blind({ leakKgPerS: 0.0009 }, 2));
    expect(noPressure.verdict).toBe('cannot tell');
    expect(noPressure.open[0]).toContain('Manifold pressure');
  });

  test('both faults at once are not given one name with confidence', () => {
    const both = compare({ leakKgPerS: 0.0009, missingFuel: 0.1 }, 5);
    expect(['cannot tell', 'vacuum leak']).toContain(both.verdict);
    expect(compare({ leakKgPerS: 0.0002, missingFuel: 0.1 }, 5).verdict).not.toBe('vacuum leak');
  });

  test('means come with their spread, and too little idle is refused', () => {
    const health = steadyHealth(drive('idle', {}, 4));
    expect(health.engineSpeedRpm.mean).toBeCloseTo(780, -1);
    expect(health.manifoldPressurePa!.standardError).toBeLessThan(100);
    expect(health.durationS).toBeCloseTo(59.9, 6);
    expect(() => steadyHealth({ timeS: new Float64Array(5), engineSpeedRpm: new Float64Array(5) })).toThrow('E_TOO_FEW_SAMPLES');
    expect(() => steadyHealth({ timeS: new Float64Array(5), engineSpeedRpm: new Float64Array(4) })).toThrow('E_LENGTHS');
  });

  test('an engine that idles near the pressure of the air by design is not said to leak', () => {
    const near = (seed: number, addedPa: number) => {
      const readings = drive('idle', {}, seed);
      return steadyHealth({
        ...readings,
        engineSpeedRpm: readings.engineSpeedRpm.map((rpm) => rpm + addedPa / 50),
        manifoldPressurePa: readings.manifoldPressurePa!.map((pressurePa) => pressurePa + 62_000 + addedPa),
      });
    };
    const { verdict, open } = compareIdle(near(1, 0), near(2, 4500));
    expect(verdict).toBe('cannot tell');
    expect(open[0]).toContain('near the pressure of the air by design');
  });
});
