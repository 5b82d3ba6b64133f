import { defaultRotatingFactor, rotatingFactor, usualInertias } from '@pullproof/core';
import { describe, expect, test } from 'vitest';

const car = { massKg: 1600, tyreRadiusM: 0.32, displacementM3: 3e-3, transmission: 'manual' as const };
const factorOf = (kind: typeof car, gearRatio: number): number => {
  const { wheelsKgM2, engineKgM2 } = usualInertias(kind);
  return rotatingFactor(
    kind.massKg,
    { wheelsKgM2: wheelsKgM2.value, engineKgM2: engineKgM2.value },
    { gearRatio, finalDrive: 3.64, tyreRadiusM: kind.tyreRadiusM },
  );
};

describe('inertia by the kind of car', () => {
  test('lies near the published factor in high gears and far below it in first, which most cars do not have', () => {
    // Source: common practice, no source: 1.15 to 1.35 in first gear of a road car, 1.03 to 1.08 in fourth.
    expect(factorOf(car, 1)).toBeGreaterThan(1.03);
    expect(factorOf(car, 1)).toBeLessThan(1.08);
    expect(factorOf(car, 3.27)).toBeGreaterThan(1.15);
    expect(factorOf(car, 3.27)).toBeLessThan(1.35);
    expect(defaultRotatingFactor(3.27 * 3.64).value).toBeGreaterThan(1.39);
  });

  test('grows with displacement and with what the transmission turns, and is less sure without a displacement', () => {
    const engine = (over: Partial<Parameters<typeof usualInertias>[0]>) => usualInertias({ ...car, ...over }).engineKgM2;
    expect(engine({ displacementM3: 6e-3 }).value).toBeGreaterThan(1.5 * engine({}).value);
    expect(engine({ transmission: 'automatic' }).value).toBeCloseTo(1.1 * engine({}).value, 12);
    expect(engine({ transmission: 'dual-clutch' }).value).toBeCloseTo(1.15 * engine({}).value, 12);
    expect(engine({ displacementM3: null }).spread).toBeGreaterThan(1.3 * engine({}).spread);
    expect(usualInertias(car).wheelsKgM2.spread / usualInertias(car).wheelsKgM2.value).toBeCloseTo(0.25, 12);
  });

  test('refuses what is no car', () => {
    for (const over of [{ massKg: Number.NaN }, { tyreRadiusM: 0 }, { displacementM3: -1 }])
      expect(() => usualInertias({ ...car, ...over })).toThrow(expect.objectContaining({ code: 'E_ROTATING' }));
  });
});
