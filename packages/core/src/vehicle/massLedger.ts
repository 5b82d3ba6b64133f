import { PullproofError } from '../findings/index.js';

/** A number with one standard uncertainty and where it comes from. */
export interface KnownNumber {
  readonly value: number;
  /** One standard uncertainty, same unit. */
  readonly spread: number;
  readonly standing: 'entered' | 'assumed';
  /** For people: the field it was entered in, or the source of the default. */
  readonly source: string;
}

/** The car as it stood on the scale. */
export interface WeighedCar {
  readonly massKg: KnownNumber;
  /** Fuel in the tank on the scale; null when the mass is stated without fuel. */
  readonly fuelVolumeM3: KnownNumber | null;
  readonly driver: 'in' | 'out';
}

/** What makes up the mass as driven. */
export interface MassParts {
  readonly weighed: WeighedCar;
  readonly driverKg: KnownNumber;
  readonly cargoKg: KnownNumber;
  /** Fuel in the tank during the run. */
  readonly fuelVolumeM3: KnownNumber;
  readonly fuelDensityKgPerM3: KnownNumber;
}

/** One line of the ledger. */
export interface MassItem {
  readonly item: string;
  readonly massKg: number;
  readonly standing: 'entered' | 'assumed';
  readonly note: string;
}

/** Mass as driven, item by item. */
export interface MassLedger {
  readonly items: readonly MassItem[];
  readonly massKg: number;
  /** One standard uncertainty of the sum. */
  readonly spreadKg: number;
  readonly standing: 'entered' | 'assumed';
  /** What each input adds to the uncertainty, signed, so that two ledgers with common inputs can be subtracted part by part. */
  readonly spreadParts: readonly { readonly input: string; readonly massKg: number }[];
}

/**
 * Mass of the car as driven: m = m_scale − ρ V_scale + ρ V_run + cargo, + driver when he stood beside the scale.
 *
 * @param parts masses kg, volumes m³, density kg/m³, each with one standard uncertainty
 * @returns items that sum to `massKg`, and its spread, first order: what was weighed together cancels, so fuel density counts only for the fuel that came or went
 * @throws E_MASS for a number that is not finite or is negative, or when nothing is left of the car without its fuel and driver
 *
 * Validity: inputs independent of each other.
 * Source: [GUM] eq. 10 for the spread.
 *
 * @example
 * ```ts
 * import { massLedger } from '@pullproof/core';
 * const entered = (value: number, spread: number) => ({ value, spread, standing: 'entered' as const, source: 'example' });
 * const ledger = massLedger({
 *   weighed: { massKg: entered(1500, 5), fuelVolumeM3: entered(0.04, 0.002), driver: 'out' },
 *   driverKg: entered(82, 1),
 *   cargoKg: entered(6, 1),
 *   fuelVolumeM3: entered(0.035, 0.002),
 *   fuelDensityKgPerM3: entered(745, 10),
 * });
 * ledger.massKg.toFixed(3); // => '1584.275'
 * ```
 */
export function massLedger(parts: MassParts): MassLedger {
  const { weighed, driverKg, cargoKg, fuelVolumeM3, fuelDensityKgPerM3: density } = parts;
  requireKnown('weighed mass', weighed.massKg);
  requireKnown('driver', driverKg);
  requireKnown('cargo', cargoKg);
  requireKnown('fuel in the tank', fuelVolumeM3);
  requireKnown('fuel density', density);
  if (weighed.fuelVolumeM3 !== null) requireKnown('fuel on the scale', weighed.fuelVolumeM3);
  const onScaleM3 = weighed.fuelVolumeM3?.value ?? 0;
  const driverOnScale = weighed.driver === 'in';
  const bareKg = weighed.massKg.value - onScaleM3 * density.value - (driverOnScale ? driverKg.value : 0);
  if (!(bareKg > 0)) {
    throw new PullproofError(
      'E_MASS',
      `nothing is left of ${weighed.massKg.value} kg without fuel${driverOnScale ? ' and driver' : ''}.`,
      {},
      'Check the units of mass and fuel.',
    );
  }
  const tookOff = [
    ...(weighed.fuelVolumeM3 === null ? [] : [`${(onScaleM3 * density.value).toFixed(1)} kg of fuel`]),
    ...(driverOnScale ? ['the driver'] : []),
  ];
  const items: MassItem[] = [
    {
      item: 'car',
      massKg: bareKg,
      standing: standingOf(weighed.massKg, ...(weighed.fuelVolumeM3 === null ? [] : [weighed.fuelVolumeM3])),
      note: tookOff.length === 0 ? weighed.massKg.source : `${weighed.massKg.source}, less ${tookOff.join(' and ')}`,
    },
    { item: 'driver', massKg: driverKg.value, standing: driverKg.standing, note: driverKg.source },
    { item: 'cargo', massKg: cargoKg.value, standing: cargoKg.standing, note: cargoKg.source },
    {
      item: 'fuel',
      massKg: fuelVolumeM3.value * density.value,
      standing: standingOf(fuelVolumeM3, density),
      note: `${(fuelVolumeM3.value * 1000).toFixed(1)} L × ${(density.value / 1000).toFixed(3)} kg/L (${fuelVolumeM3.source}; ${density.source})`,
    },
  ];
  const spreadParts = [
    { input: 'weighed mass', massKg: weighed.massKg.spread },
    { input: 'fuel on the scale', massKg: -density.value * (weighed.fuelVolumeM3?.spread ?? 0) },
    { input: 'driver', massKg: driverOnScale ? 0 : driverKg.spread },
    { input: 'cargo', massKg: cargoKg.spread },
    { input: 'fuel in the tank', massKg: density.value * fuelVolumeM3.spread },
    { input: 'fuel density', massKg: (fuelVolumeM3.value - onScaleM3) * density.spread },
  ];
  return {
    items,
    massKg: items.reduce((sum, item) => sum + item.massKg, 0),
    spreadKg: Math.hypot(...spreadParts.map((part) => part.massKg)),
    standing: items.some((item) => item.standing === 'assumed') ? 'assumed' : 'entered',
    spreadParts,
  };
}

function standingOf(...numbers: readonly KnownNumber[]): 'entered' | 'assumed' {
  return numbers.some((number) => number.standing === 'assumed') ? 'assumed' : 'entered';
}

function requireKnown(name: string, { value, spread }: KnownNumber): void {
  if (value >= 0 && spread >= 0 && Number.isFinite(value) && Number.isFinite(spread)) return;
  throw new PullproofError(
    'E_MASS',
    `${name} must be a number not below zero with its spread, given ${value} ± ${spread}.`,
    {},
    'Correct it.',
  );
}
