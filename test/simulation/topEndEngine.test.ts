import { describe, expect, test } from 'vitest';
import { seededRandom } from '../../packages/simulation/src/random.js';
import { topEndCase } from '../../packages/simulation/src/topEndCases.js';
import { type Fault, sound, type TopEndEngineSpec, topEndState } from '../../packages/simulation/src/topEndEngine.js';
import { drawFaultLaw, drawGrowth, topEndFaults } from '../../packages/simulation/src/topEndFaults.js';

const engine: TopEndEngineSpec = {
  engineVolumeM3: 0.0046,
  blower: {
    volumeM3: 0.00184,
    driveRatio: 2,
    fillShare: 0.88,
    leakageRpm: 0,
    leakageExponent: 0.5,
    adiabaticEfficiency: () => 0.6,
    coolerEffectiveness: () => 0.7,
    coolerLoss: 0,
    coolerHeatJPerK: 1e4,
  },
  volumetricEfficiency: () => 0.85,
  indicatedShare: () => 0.37,
  frictionPa: () => 150e3,
  inletLoss: 0,
  exhaustLoss: 0,
  sparkShortDeg: 6,
  sparkLoss: 6e-4,
  sparkExponent: 2,
  mapSparkDeg: () => 20,
  bestLambda: 0.87,
  richCost: 2,
  leanCost: 2,
  lambdaTarget: () => 0.82,
  railAcrossPa: 300e3,
  injectorKgPerS: 0.008,
  cylinders: 8,
  ambientK: 298.15,
  ambientPa: 100e3,
  drivelineShare: 0.87,
  meteredLeak: true,
  fault: () => sound,
};
const at = (fault: Partial<Fault> = {}, rpm = 6000, spec = engine) => topEndState(spec, rpm, { ...sound, ...fault }, 298.15, 305);

describe('the simulated engine', () => {
  // Source: FORMULAS.md CK-7.8, fixed point of blower and engine, with a cooler and without.
  test.each([
    ['cooler', 0.7, 1.8409, 331.3],
    ['no cooler', 0, 2.4705, 444.7],
  ])('CK-7.8: %s', (_, effectiveness, ratio, chargeK) => {
    const spec = { ...engine, blower: { ...engine.blower!, coolerEffectiveness: () => effectiveness } };
    const state = at({}, 6000, spec);
    expect(Math.abs(state.manifoldPa / state.inletPa - ratio)).toBeLessThan(1e-3);
    expect(Math.abs(state.chargeK - chargeK)).toBeLessThan(0.1);
  });

  test('air without a blower is that of speed density', () => {
    // Source: FORMULAS.md CK-6.16: VE 0.90, 2.0 L, 5000 rpm, 100 kPa, 300 K: 0.0870928 kg/s.
    const spec = { ...engine, blower: null, engineVolumeM3: 0.002, volumetricEfficiency: () => 0.9 };
    const state = topEndState(spec, 5000, sound, 300, 300);
    expect(Math.abs(state.engineKgPerS - 0.0870928)).toBeLessThan(1e-5);
  });

  test('every fault takes power, and its own reading moves its own way', () => {
    const well = at();
    const loss = (fault: Partial<Fault>): number => 1 - at(fault).wheelPowerW / well.wheelPowerW;
    const faults: readonly Partial<Fault>[] = [
      { slip: 0.05 },
      { fillLoss: 0.05 },
      { inletHeatK: 15 },
      { inletDrop: 0.05 },
      { exhaustPa: 60e3 },
      { leak: 0.05 },
      { sparkCutDeg: 5 },
      { knockDeg: 5 },
      { lambdaFactor: 0.85 },
      { railLoss: 0.5 },
    ];
    for (const fault of faults) expect(loss(fault)).toBeGreaterThan(0.01);
    expect(at({ slip: 0.05 }).rotorRpm).toBeCloseTo(0.95 * well.rotorRpm, 6);
    expect(at({ slip: 0.05 }).manifoldPa).toBeLessThan(well.manifoldPa);
    expect(at({ swallowLoss: 0.05 }).manifoldPa).toBeGreaterThan(well.manifoldPa);
    expect(at({ inletDrop: 0.05 }).inletPa).toBeCloseTo(0.95 * well.inletPa, 6);
    expect(at({ railLoss: 0.19 }).lambda).toBeCloseTo(well.lambda / 0.9, 9);
    // Hot air before the blower: mass falls with the temperature; boost does not without a cooler. FORMULAS.md §7, lesson of CK-7.8.
    const bare = { ...engine, blower: { ...engine.blower!, coolerEffectiveness: () => 0 } };
    const hot = at({ inletHeatK: 15 }, 6000, bare);
    expect(hot.engineKgPerS / at({}, 6000, bare).engineKgPerS).toBeCloseTo(298.15 / 313.15, 6);
    expect(hot.manifoldPa).toBeCloseTo(at({}, 6000, bare).manifoldPa, 0);
    // Heat added after it: boost rises, mass stays.
    const warm = at({ chargeHeatK: 15 });
    expect(warm.engineKgPerS / well.engineKgPerS).toBeCloseTo(1, 9);
    expect(warm.manifoldPa / well.manifoldPa).toBeCloseTo(1 + 15 / well.chargeK, 1);
    // A leak behind the meter is counted by it, a bypass is not.
    expect(at({ leak: 0.1 }).meterKgPerS).toBeGreaterThan(at({ leak: 0.1 }).engineKgPerS);
    const round = at({ leak: 0.1 }, 6000, { ...engine, meteredLeak: false });
    expect(round.meterKgPerS).toBe(round.engineKgPerS);
  });

  test('a fault grows from nothing at its onset to the whole at the top', () => {
    for (let seed = 1; seed <= 40; seed++) {
      const growth = drawGrowth(seededRandom(seed), 6500, 2300, [0.4, 0.8], [0.5, 2.8]);
      expect(growth(2300)).toBeCloseTo(0, 9);
      expect(growth(6500)).toBeCloseTo(1, 9);
      for (let rpm = 2400; rpm <= 6500; rpm += 100) expect(growth(rpm)).toBeGreaterThanOrEqual(growth(rpm - 100) - 1e-12);
    }
  });

  test('a fault of no size is none', () => {
    for (const fault of topEndFaults) {
      const { law } = drawFaultLaw(fault, seededRandom(5));
      const none = law(0, 1, 450, 1);
      // A bypass that opens downwards rests at its other end.
      expect({ ...none, bypass: 0 }).toEqual({ ...sound, bypass: 0 });
    }
  });

  test('a case is the same for the same seed, and leaves out what it is told to', () => {
    const first = topEndCase(11, { range: 'narrow', fault: 'belt-slip' });
    const again = topEndCase(11, { range: 'narrow', fault: 'belt-slip' });
    expect(again.trial).toBe(first.trial);
    expect([...again.logs]).toEqual([...first.logs]);
    const dumb = topEndCase(11, { range: 'narrow', fault: 'belt-slip', without: ['rotor-speed'] });
    const head = (text: string): string => text.slice(0, text.indexOf('\n'));
    expect(head(dumb.logs.get('after.csv')!)).not.toContain('Rotor speed');
    expect(dumb.logged.has('rotor-speed')).toBe(false);
  });
});
