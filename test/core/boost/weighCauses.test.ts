import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  type BlowerOnEngine,
  expectedPressureRatio,
  type MeasuredSign,
  signatures,
  type TopEndCause,
  type TopEndSign,
  topEndCauses,
  topEndSigns,
  weighCauses,
} from '../../../packages/core/src/boost/index.js';

const all = Object.keys(topEndCauses) as TopEndCause[];
const blown = { causes: all.filter((cause) => cause !== 'own-breathing'), kind: 'comparison', aspiration: 'fixed-ratio' } as const;

describe('signatures against the physics of a blower', () => {
  // Source: FORMULAS.md CK-7.8 (engine and blower) and the relations of §7: mass per turn ∝ r η_v p₁/T₁, pressure from it and the charge temperature.
  const engine: BlowerOnEngine = {
    blowerDisplacementM3: 0.00184,
    engineDisplacementM3: 0.0046,
    driveRatio: 2,
    volumetricEfficiency: 0.85,
    blowerVolumetricEfficiency: 0.88,
    adiabaticEfficiency: 0.6,
    inletTemperatureK: 298.15,
    cooler: { effectiveness: 0.7, coolantTemperatureK: 305 },
  };
  const loss = 0.05;
  /** Logarithm of manifold pressure and of air per turn, charge temperature in K, against the sound engine. */
  const moved = (changed: Partial<BlowerOnEngine>, inlet = 1): { pressure: number; air: number; chargeK: number } => {
    const sound = expectedPressureRatio(engine);
    const faulty = { ...engine, ...changed };
    const now = expectedPressureRatio(faulty);
    const air = ({ driveRatio, blowerVolumetricEfficiency, inletTemperatureK }: BlowerOnEngine): number =>
      (driveRatio * blowerVolumetricEfficiency) / inletTemperatureK;
    return {
      pressure: Math.log((now.pressureRatio * inlet) / sound.pressureRatio),
      air: Math.log((air(faulty) * inlet) / air(engine)),
      chargeK: now.chargeTemperatureK - sound.chargeTemperatureK,
    };
  };
  const within = (value: number, [perLoss, spread]: readonly [number, number, number?], of: number): void => {
    expect(Math.abs(value - perLoss * of)).toBeLessThan(2 * spread * of);
  };

  test.each([
    ['belt-slip', moved({ driveRatio: 2 * (1 - loss) })],
    ['blower-capacity', moved({ blowerVolumetricEfficiency: 0.88 * (1 - loss), adiabaticEfficiency: 0.6 * (1 - loss) })],
    ['restriction-before', moved({}, 1 - loss)],
  ] as const)('%s: air, pressure and temperature go where a loss of 5 %% of air takes them', (cause, seen) => {
    const [way] = signatures[cause];
    // Torque falls a little more than the air, for friction stays: 1.15 is common practice, no source.
    const torque = -1.15 * seen.air;
    within(seen.air, way!['air-per-turn']!, torque);
    within(seen.pressure, way!['manifold-pressure']!, torque);
    within(seen.chargeK, way!['charge-temperature']!, torque);
  });

  test('air heated before the blower loses mass; boost stays without a cooler and falls with a good one', () => {
    const bare = { ...engine, cooler: null };
    const hotK = 298.15 / (1 - loss);
    // Without a cooler everything scales with the inlet temperature, so the ratio stays.
    expect(expectedPressureRatio({ ...bare, inletTemperatureK: hotK }).pressureRatio).toBeCloseTo(
      expectedPressureRatio(bare).pressureRatio,
      9,
    );
    const cooled = moved({ inletTemperatureK: hotK });
    const [heat] = signatures['charge-heat'];
    const torque = -1.15 * cooled.air;
    expect(cooled.air).toBeCloseTo(Math.log(1 - loss), 9);
    within(cooled.air, heat!['air-per-turn']!, torque);
    within(cooled.pressure, heat!['manifold-pressure']!, torque);
    within(0, heat!['manifold-pressure']!, torque);
    within(cooled.chargeK, heat!['charge-temperature']!, torque);
  });

  test('heat added behind the blower raises boost and leaves the mass', () => {
    const behind = moved({ cooler: { effectiveness: 0.6, coolantTemperatureK: 305 } });
    expect(behind.air).toBeCloseTo(0, 12);
    expect(behind.pressure).toBeGreaterThan(0.02);
    expect(signatures['spark-heat'][0]!['manifold-pressure']![0]).toBeGreaterThan(0);
  });

  test('an engine that swallows less raises boost', () => {
    const seen = moved({ volumetricEfficiency: 0.85 * (1 - loss) });
    expect(seen.pressure).toBeGreaterThan(loss);
    expect(signatures['restriction-after'][0]!['manifold-pressure']![0]).toBeGreaterThan(0);
  });
});

describe('weighCauses', () => {
  const signs = (values: Partial<Record<TopEndSign, readonly [number, number]>>): MeasuredSign[] =>
    Object.entries(values).map(([sign, [trend, spread]]) => ({ sign: sign as TopEndSign, trend, spread }));
  const leading = (measured: readonly MeasuredSign[]): TopEndCause[] =>
    weighCauses(measured, blown)
      .filter(({ points }) => points > -Math.log(4))
      .map(({ cause }) => cause);
  const pressureFades = { torque: [-0.06, 0.005], 'manifold-pressure': [-0.055, 0.005], 'air-per-turn': [-0.05, 0.006] } as const;

  test('one sign and two causes, by hand', () => {
    // An independent, slow evaluation of the formula in the docblock.
    const [trend, spread] = [-0.04, 0.004];
    const likelihood = (perLoss: number, width: number): number => {
      let sum = 0;
      for (let i = 0; i < 24; i++) {
        const s = 0.01 * 40 ** (i / 23);
        const variance = spread ** 2 + 0.005 ** 2 + (width * s) ** 2;
        sum += (0.97 * Math.exp(-((trend - perLoss * s) ** 2) / (2 * variance))) / Math.sqrt(2 * Math.PI * variance) + 0.03 / 0.8;
      }
      return sum / 24;
    };
    const [slips, holds] = [likelihood(-0.85, 0.25), likelihood(0, 0)];
    const found = weighCauses(signs({ 'rotor-ratio': [trend, spread] }), { ...blown, causes: ['belt-slip', 'blower-capacity'] });
    expect(found[0]!.cause).toBe('belt-slip');
    expect(found[1]!.points).toBeCloseTo(0.7 * Math.log(holds / slips), 9);
    expect(found[0]!.weight).toBeCloseTo(1 / (1 + (holds / slips) ** 0.7), 9);
  });

  test('rotors that fall behind name the belt, rotors that keep up the blower; without rotor speed the two tie', () => {
    expect(leading(signs({ ...pressureFades, 'rotor-ratio': [-0.05, 0.003] }))).toEqual(['belt-slip']);
    const keepsUp = {
      ...pressureFades,
      'rotor-ratio': [0, 0.003],
      'inlet-pressure': [0, 0.003],
      throttle: [0, 0.005],
      bypass: [0, 0.01],
    } as const;
    expect(weighCauses(signs(keepsUp), blown)[0]!.cause).toBe('blower-capacity');
    expect(leading(signs(keepsUp))).not.toContain('belt-slip');
    const { 'rotor-ratio': _unlogged, ...rest } = keepsUp;
    expect(leading(signs(rest))).toEqual(expect.arrayContaining(['belt-slip', 'blower-capacity']));
    // Two sweep rates do what rotor speed would: a belt slips more in a faster sweep.
    const sweeps = weighCauses(signs({ ...rest, 'sweep-rate': [-0.035, 0.004] }), blown);
    expect(sweeps[0]!.cause).toBe('belt-slip');
  });

  test.each([
    ['restriction-before', { ...pressureFades, 'inlet-pressure': [-0.055, 0.004] }],
    [
      'restriction-after',
      {
        torque: [-0.06, 0.005],
        'manifold-pressure': [0.03, 0.005],
        'air-per-turn': [-0.01, 0.006],
        'exhaust-pressure': [0.3, 0.02],
        'spark-advance': [0, 0.3],
      },
    ],
    ['throttle-closing', { ...pressureFades, throttle: [-0.3, 0.01] }],
    [
      'spark-knock',
      {
        torque: [-0.06, 0.005],
        'manifold-pressure': [0.002, 0.005],
        'spark-advance': [-5, 0.3],
        'knock-retard': [5, 0.3],
        'charge-temperature': [2, 2],
      },
    ],
    [
      'spark-heat',
      {
        torque: [-0.06, 0.005],
        'manifold-pressure': [0.02, 0.005],
        'spark-advance': [-5, 0.3],
        'knock-retard': [0, 0.2],
        'charge-temperature': [15, 2],
      },
    ],
    [
      'torque-limit',
      {
        torque: [-0.06, 0.005],
        'manifold-pressure': [0, 0.005],
        'spark-advance': [-6, 0.3],
        'knock-retard': [0, 0.2],
        'charge-temperature': [-1, 1.5],
      },
    ],
    [
      'charge-heat',
      {
        torque: [-0.06, 0.005],
        'manifold-pressure': [0, 0.005],
        'air-per-turn': [-0.05, 0.006],
        'charge-temperature': [16, 2],
        'intake-temperature': [15, 1.5],
        'spark-advance': [0, 0.3],
      },
    ],
    ['mixture', { torque: [-0.04, 0.005], 'manifold-pressure': [0, 0.005], mixture: [0.15, 0.005], 'fuel-pressure': [0, 0.005] }],
    ['fuel-pressure', { torque: [-0.04, 0.005], 'manifold-pressure': [0, 0.005], mixture: [0.13, 0.005], 'fuel-pressure': [-0.3, 0.01] }],
    ['sensor-ceiling', { torque: [0, 0.004], 'sensor-ceiling': [1, 0.05] }],
    ['bypass-or-leak', { ...pressureFades, 'rotor-ratio': [0, 0.003], bypass: [0.3, 0.02], 'pressure-level': [-0.05, 0.01] }],
    ['too-few-data', { torque: [-0.01, 0.012], 'manifold-pressure': [0, 0.005], 'air-per-turn': [0, 0.006] }],
  ] as const)('%s by its own signs', (cause, values) => {
    expect(weighCauses(signs(values), blown)[0]!.cause).toBe(cause);
  });

  test('whatever is measured, no cause is ruled out and the weights add up', () => {
    const names = Object.keys(topEndSigns) as TopEndSign[];
    const any = fc.uniqueArray(
      fc.record({
        sign: fc.constantFrom(...names),
        trend: fc.double({ min: -40, max: 40, noNaN: true }),
        spread: fc.double({ min: 0, max: 5, noNaN: true }),
      }),
      { selector: ({ sign }) => sign },
    );
    fc.assert(
      fc.property(
        any,
        fc.constantFrom('comparison', 'single'),
        fc.constantFrom('none', 'fixed-ratio', 'controlled'),
        (measured, kind, aspiration) => {
          const found = weighCauses(measured, { causes: all, kind, aspiration });
          expect(found.map(({ cause }) => cause).sort()).toEqual([...all].sort());
          expect(found.reduce((sum, { weight }) => sum + weight, 0)).toBeCloseTo(1, 9);
          expect(found.every(({ weight, points }) => weight > 0 && points <= 0)).toBe(true);
        },
      ),
      { seed: 8, numRuns: 300 },
    );
  });

  test('no sign, no opinion; what is no measurement is refused', () => {
    const found = weighCauses([], blown);
    expect(found.every(({ points }) => Math.abs(points) < 1e-9)).toBe(true);
    expect(() => weighCauses(signs({ torque: [Number.NaN, 1] }), blown)).toThrow('E_SIGN');
    expect(() => weighCauses(signs({ torque: [0, Number.POSITIVE_INFINITY] }), blown)).toThrow('E_SIGN');
    expect(() => weighCauses([], { ...blown, causes: [] })).toThrow('E_NO_CAUSES');
  });
});
