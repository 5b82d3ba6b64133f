import { convert, type KnownNumber, type MassParts, massLedger } from '@pullproof/core';
import { describe, expect, test } from 'vitest';

const entered = (value: number, spread = 0): KnownNumber => ({ value, spread, standing: 'entered', source: 'weighed' });
const assumed = (value: number, spread = 0): KnownNumber => ({ value, spread, standing: 'assumed', source: 'default' });

const parts: MassParts = {
  weighed: { massKg: entered(1577, 5), fuelVolumeM3: entered(0.04, 0.002), driver: 'out' },
  driverKg: entered(82, 1),
  cargoKg: entered(6, 0.5),
  fuelVolumeM3: entered(0.035, 0.002),
  fuelDensityKgPerM3: entered(745, 10),
};

describe('mass ledger', () => {
  test.each<[string, MassParts, number]>([
    // Source: arithmetic by hand.
    ['as on the scale, driver out', parts, 1577 - 29.8 + 82 + 6 + 26.075],
    ['driver on the scale', { ...parts, weighed: { ...parts.weighed, driver: 'in' } }, 1577 - 29.8 + 6 + 26.075],
    ['mass without fuel', { ...parts, weighed: { ...parts.weighed, fuelVolumeM3: null } }, 1577 + 82 + 6 + 26.075],
    // Source: 9 US gallons at 6.216 lb/gal (US DOE AFDC: 116,090 Btu/gal over 18,676 Btu/lb, CK-6.7) weigh 55.94 lb.
    [
      'pounds and gallons',
      {
        ...parts,
        weighed: { massKg: entered(convert(3260, 'lb', 'kg')), fuelVolumeM3: null, driver: 'in' },
        cargoKg: entered(0),
        fuelVolumeM3: entered(convert(9, 'gal', 'm^3')),
        fuelDensityKgPerM3: entered(convert(6.216, 'lb/gal', 'kg/m^3')),
      },
      convert(3260 + 55.944, 'lb', 'kg'),
    ],
  ])('%s', (_name, given, expectedKg) => {
    const ledger = massLedger(given);
    expect(ledger.massKg).toBeCloseTo(expectedKg, 9);
    expect(ledger.items.reduce((sum, item) => sum + item.massKg, 0)).toBe(ledger.massKg);
    expect(ledger.items.map((item) => item.item)).toEqual(['car', 'driver', 'cargo', 'fuel']);
  });

  test('spread equals that of independent finite differences', () => {
    // Source: JCGM 100 eq. 10, sensitivities by finite differences of the sum.
    for (const driver of ['in', 'out'] as const) {
      const given: MassParts = { ...parts, weighed: { ...parts.weighed, driver } };
      const at = massLedger(given).massKg;
      const shift = (number: KnownNumber): KnownNumber => ({ ...number, value: number.value + number.spread });
      const moved: MassParts[] = [
        { ...given, weighed: { ...given.weighed, massKg: shift(given.weighed.massKg) } },
        { ...given, weighed: { ...given.weighed, fuelVolumeM3: shift(given.weighed.fuelVolumeM3!) } },
        { ...given, driverKg: shift(given.driverKg) },
        { ...given, cargoKg: shift(given.cargoKg) },
        { ...given, fuelVolumeM3: shift(given.fuelVolumeM3) },
        { ...given, fuelDensityKgPerM3: shift(given.fuelDensityKgPerM3) },
      ];
      const ledger = massLedger(given);
      moved.forEach((other, index) => {
        expect(massLedger(other).massKg - at).toBeCloseTo(ledger.spreadParts[index]!.massKg, 9);
      });
      expect(ledger.spreadKg).toBeCloseTo(Math.hypot(...moved.map((other) => massLedger(other).massKg - at)), 9);
    }
  });

  test('fuel density does not matter while the tank is as it was on the scale', () => {
    const ledger = massLedger({ ...parts, fuelVolumeM3: entered(0.04, 0), fuelDensityKgPerM3: entered(745, 40) });
    expect(ledger.spreadParts.find((part) => part.input === 'fuel density')!.massKg).toBe(0);
  });

  test('one assumed input makes the sum assumed and marks its own items only', () => {
    const ledger = massLedger({ ...parts, fuelDensityKgPerM3: assumed(745, 15) });
    expect(ledger.standing).toBe('assumed');
    expect(ledger.items.map((item) => item.standing)).toEqual(['entered', 'entered', 'entered', 'assumed']);
    expect(massLedger(parts).standing).toBe('entered');
    expect(massLedger({ ...parts, driverKg: assumed(80, 10) }).items[1]!.note).toBe('default');
  });

  test.each<[string, MassParts]>([
    ['NaN', { ...parts, cargoKg: entered(Number.NaN) }],
    ['a negative mass', { ...parts, driverKg: entered(-82) }],
    ['a spread of NaN', { ...parts, driverKg: entered(82, Number.NaN) }],
    ['litres given as m³', { ...parts, weighed: { ...parts.weighed, fuelVolumeM3: entered(40) } }],
  ])('refuses %s', (_name, given) => {
    expect(() => massLedger(given)).toThrow(expect.objectContaining({ code: 'E_MASS' }));
  });
});
