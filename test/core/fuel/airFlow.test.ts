import { airFlowBySpeedAndDensity, injectorFlowShare, moreAirUntilDuty, powerFromFuel } from '@pullproof/core';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';

describe('air by speed and density', () => {
  // Source: FORMULAS.md CK-6.15 and CK-6.16, computed; tolerance 1e-5.
  it.each([
    [
      'CK-6.15',
      { volumetricEfficiency: 0.95, displacementM3: 5e-3, engineSpeedRpm: 6000, manifoldPressurePa: 170e3, chargeTemperatureK: 330 },
      0.426227,
      410.5,
    ],
    [
      'CK-6.16',
      { volumetricEfficiency: 0.9, displacementM3: 2e-3, engineSpeedRpm: 5000, manifoldPressurePa: 100e3, chargeTemperatureK: 300 },
      0.0870928,
      83.89,
    ],
  ])('%s, and the power that its fuel feeds', (_, air, kgPerS, powerKW) => {
    const flow = airFlowBySpeedAndDensity(air);
    expect(Math.abs(flow / kgPerS - 1)).toBeLessThan(1e-5);
    // Cross-check of the same source: lambda 0.80, 14.6, 320 g/kWh.
    expect(powerFromFuel(flow / (0.8 * 14.6), 320 / 3.6e9) / 1000).toBeCloseTo(powerKW, powerKW > 100 ? 1 : 2);
  });

  it('keeps what is missing missing, and refuses what is no engine', () => {
    const air = {
      volumetricEfficiency: 0.9,
      displacementM3: 2e-3,
      engineSpeedRpm: 5000,
      manifoldPressurePa: Number.NaN,
      chargeTemperatureK: 300,
    };
    expect(airFlowBySpeedAndDensity(air)).toBeNaN();
    expect(() => airFlowBySpeedAndDensity({ ...air, displacementM3: 0 })).toThrow('E_AIR_FLOW');
    expect(() => airFlowBySpeedAndDensity({ ...air, volumetricEfficiency: Number.NaN })).toThrow('E_AIR_FLOW');
  });
});

describe('what the injectors have left', () => {
  const point = { duty: 0.7, engineSpeedRpm: 6000, deadTimeS: 1e-3, fuelFactor: 1, railFollows: 1, manifoldOverAcross: 0.6 };

  it('dead time counts against flow, not against duty', () => {
    // Arithmetic: 1 ms at 6,000 rpm is a twentieth of the 20 ms of a cycle.
    expect(injectorFlowShare(0.7, 6000, 1e-3)).toBeCloseTo(0.65, 12);
    expect(moreAirUntilDuty(point, 0.85)).toBeCloseTo(0.8 / 0.65 - 1, 12);
    expect(moreAirUntilDuty({ ...point, duty: 0.9 }, 0.85)).toBeCloseTo(0.8 / 0.85 - 1, 12);
  });

  it('agrees with halving on the balance of flow, whatever the rail does', () => {
    const near = (low: number, high: number): fc.Arbitrary<number> => fc.double({ min: low, max: high, noNaN: true });
    fc.assert(
      fc.property(
        near(0.2, 1.1),
        near(2000, 8000),
        near(0, 1.5e-3),
        near(0.9, 1.2),
        near(0, 1),
        near(0.2, 1.5),
        near(0.85, 1),
        (duty, engineSpeedRpm, deadTimeS, fuelFactor, railFollows, manifoldOverAcross, limit) => {
          const now = injectorFlowShare(duty, engineSpeedRpm, deadTimeS);
          fc.pre(now > 0.05);
          const then = injectorFlowShare(limit, engineSpeedRpm, deadTimeS);
          // Slow oracle: fuel asked for less fuel that flows at the pressure left, zero by halving.
          let [low, high] = [0, railFollows < 1 ? Math.min(100, 1 + 1 / ((1 - railFollows) * manifoldOverAcross)) : 100];
          for (let step = 0; step < 200; step++) {
            const s = (low + high) / 2;
            const left = Math.sqrt(Math.max(0, 1 - (1 - railFollows) * manifoldOverAcross * (s - 1)));
            if (s * fuelFactor * now < left * then) low = s;
            else high = s;
          }
          const room = moreAirUntilDuty({ duty, engineSpeedRpm, deadTimeS, fuelFactor, railFollows, manifoldOverAcross }, limit);
          expect(room).toBeCloseTo(low - 1, 6);
        },
      ),
      { seed: 8, numRuns: 500 },
    );
  });

  it('a fixed rail leaves less than one that follows, and nothing is said where nothing flows', () => {
    expect(moreAirUntilDuty({ ...point, railFollows: 0 }, 0.85)).toBeLessThan(moreAirUntilDuty(point, 0.85));
    expect(moreAirUntilDuty({ ...point, duty: 0.04 }, 0.85)).toBeNaN();
    expect(moreAirUntilDuty({ ...point, duty: Number.NaN }, 0.85)).toBeNaN();
    expect(moreAirUntilDuty({ ...point, railFollows: 0, manifoldOverAcross: Number.NaN }, 0.85)).toBeNaN();
  });
});
