import { describe, expect, test } from 'vitest';
import { engineOffPressure, pressureReferenceOf } from '../../../packages/core/src/sensors/index.js';

const timeS = Float64Array.from({ length: 100 }, (_, i) => i / 10);
const engineSpeedRpm = timeS.map((t) => (t < 2 || t > 8 ? 0 : 800));
// The manifold fills within a second after the engine stops.
const absolutePa = timeS.map((t) => (t < 2 ? 97200 : t <= 8 ? 38000 : t < 8.8 ? 70000 : 97300));

describe('engineOffPressure', () => {
  test('reads the barometer before and after, not while the manifold fills', () => {
    const off = engineOffPressure(timeS, absolutePa, engineSpeedRpm, { enteredPressurePa: 98000 });
    expect(off.pressurePa).toBe(97200);
    expect(off.scatterPa).toBe(100);
    expect(off.findings).toEqual([]);
  });

  test('an altimeter setting entered for station pressure is found out', () => {
    const off = engineOffPressure(timeS, absolutePa, engineSpeedRpm, { enteredPressurePa: 101800 });
    expect(off.findings.map((one) => one.code)).toEqual(['W_BAROMETER_DISAGREES']);
    expect(off.findings[0]!.message).toContain('altimeter setting');
  });

  test('without an engine-off stretch, or without engine speed, nothing is claimed', () => {
    expect(
      engineOffPressure(
        timeS,
        absolutePa,
        timeS.map(() => 800),
      ).pressurePa,
    ).toBeNull();
    expect(
      engineOffPressure(
        timeS,
        absolutePa,
        timeS.map(() => Number.NaN),
      ).pressurePa,
    ).toBeNull();
    expect(() => engineOffPressure(timeS, absolutePa, new Float64Array(3))).toThrow('E_LENGTHS');
  });
});

describe('pressureReferenceOf', () => {
  test('tells absolute from gauge', () => {
    expect(pressureReferenceOf(absolutePa, engineSpeedRpm).reference).toBe('absolute');
    expect(
      pressureReferenceOf(
        absolutePa.map((p) => p - 97200),
        engineSpeedRpm,
      ).reference,
    ).toBe('gauge');
  });

  test('a gauge channel that shows boost only is told by its zero with the engine off', () => {
    const boostOnly = absolutePa.map((p, i) => Math.max(0, p - 97200) + (engineSpeedRpm[i]! > 0 ? 20000 : 0));
    expect(pressureReferenceOf(boostOnly, engineSpeedRpm).reference).toBe('gauge');
    expect(
      pressureReferenceOf(
        boostOnly,
        timeS.map(() => 3000),
      ).reference,
    ).toBe('cannot tell');
  });
});
