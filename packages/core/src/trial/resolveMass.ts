import type { AssumptionLedger } from './assumptions.js';
import { defaults, enteredSpread } from './defaults.js';
import type { RunInputs, StatedNumber } from './inputs.js';
import type { CarFile, Conditions, FuelLevel, SetupFile, Written } from './trialFile.js';

type LedgerEntry = RunInputs['ledger'][number];

/** Mass as driven, its ledger, and how much of its spread is not shared with the car's other runs. */
export interface ResolvedMass {
  readonly massKg: StatedNumber;
  readonly massOwnSpreadKg: number;
  readonly ledger: readonly LedgerEntry[];
}

/**
 * Mass as driven: car, driver, cargo, fuel volume × density. Errors that enter twice with opposite sign
 * (the driver who sat in on the scale and drives, the fuel on the scale and on the road) cancel as they should.
 */
export function resolveMass(car: CarFile, setup: SetupFile, run: Conditions, log: string, assumed: AssumptionLedger): ResolvedMass {
  const density = stated(car['fuel-density'], 'fuelDensity', 'car.fuel-density') ?? assumed.assume('fuelDensity', log);
  const carDriver = stated(car.driver, 'driver', 'car.driver');
  const ownDriver = stated(run.driver ?? setup.driver, 'driver', 'driver');
  const driver = ownDriver ?? carDriver ?? assumed.assume('driver', log);
  const ownCargo = stated(run.cargo ?? setup.cargo, 'cargo', 'cargo');
  const cargo = ownCargo ?? stated(car.cargo, 'cargo', 'car.cargo') ?? assumed.assume('cargo', log);
  const fuel = fuelVolume(run['fuel-in-tank'], car, 'fuelLevel', log, assumed);
  const base = carItself();

  const massKg = base.massKg + driver.value + cargo.value + density.value * fuel.value;
  const fuelSpreadKg = density.value * fuel.spread;
  const densitySpreadKg = density.spread * (fuel.value - base.fuelOnScaleM3);
  const driverSpreadKg = base.driverSatIn && ownDriver === undefined ? 0 : driver.spread;
  const own = [fuelSpreadKg, ownDriver === undefined ? 0 : driver.spread, ownCargo === undefined ? 0 : cargo.spread];
  const shared = [
    ...base.spreadsKg,
    densitySpreadKg,
    ownDriver === undefined ? driverSpreadKg : 0,
    ownCargo === undefined ? cargo.spread : 0,
  ];
  const ledger: LedgerEntry[] = [
    { item: 'car', massKg: base.massKg, standing: base.standing, note: base.note },
    { item: 'driver', massKg: driver.value, standing: driver.standing, note: driver.source },
    { item: 'cargo', massKg: cargo.value, standing: cargo.standing, note: cargo.source },
    {
      item: 'fuel',
      massKg: density.value * fuel.value,
      standing: fuel.standing,
      note: `${litres(fuel.value)} × ${(density.value / 1000).toFixed(3)} kg/L`,
    },
  ];
  return {
    massKg: {
      value: massKg,
      spread: Math.hypot(...own, ...shared),
      standing: ledger.some((entry) => entry.standing === 'assumed') ? 'assumed' : 'entered',
      source: 'sum of car, driver, cargo and fuel',
    },
    massOwnSpreadKg: Math.hypot(...own),
    ledger,
  };

  function carItself() {
    const { weighed } = car;
    const whole = stated(car['mass-without-fuel'], 'scale', 'car.mass-without-fuel');
    const none = { fuelOnScaleM3: 0, driverSatIn: false };
    if (whole !== undefined) {
      return {
        ...none,
        massKg: whole.value,
        spreadsKg: [whole.spread],
        standing: 'entered' as const,
        note: `${car['mass-without-fuel']!.text}, without driver and fuel`,
      };
    }
    if (weighed === undefined) {
      const guess = assumed.assume('carMass', log);
      return { ...none, massKg: guess.value, spreadsKg: [guess.spread], standing: 'assumed' as const, note: guess.source };
    }
    const fuelOnScale = fuelVolume(weighed['fuel-in-tank'], car, 'fuelLevelOnScale', log, assumed);
    const driverSatIn = weighed.driver === 'in';
    const satIn = driverSatIn ? (carDriver ?? defaults.driver).value : 0;
    const spreadsKg = [enteredSpread('scale', weighed.mass.si), density.value * fuelOnScale.spread];
    if (driverSatIn && ownDriver !== undefined) spreadsKg.push((carDriver ?? assumed.assume('driver', log)).spread);
    if (weighed.driver === undefined) spreadsKg.push(assumed.assume('driverOnScale', log).spread);
    return {
      massKg: weighed.mass.si - density.value * fuelOnScale.value - satIn,
      spreadsKg,
      fuelOnScaleM3: fuelOnScale.value,
      driverSatIn,
      standing: fuelOnScale.standing,
      note: `${weighed.mass.text} on the scale, less ${litres(fuelOnScale.value)} of fuel${driverSatIn ? ` and a driver of ${satIn.toFixed(0)} kg` : ''}`,
    };
  }
}

function stated(written: Written | undefined, spread: Parameters<typeof enteredSpread>[0], field: string): StatedNumber | undefined {
  if (written === undefined) return undefined;
  return { value: written.si, spread: enteredSpread(spread, written.si), standing: 'entered', source: `${field}: ${written.text}` };
}

/** Fuel in the tank, m³. */
function fuelVolume(
  level: FuelLevel | undefined,
  car: CarFile,
  name: 'fuelLevel' | 'fuelLevelOnScale',
  log: string,
  assumed: AssumptionLedger,
): StatedNumber {
  if (level?.kind === 'volume') {
    return { value: level.si, spread: enteredSpread('fuelVolume', level.si), standing: 'entered', source: `fuel-in-tank: ${level.text}` };
  }
  const tankM3 = car.tank?.si ?? assumed.assume('tank', log).value;
  if (level === undefined) {
    const share = assumed.assume(name, log);
    return { ...share, value: share.value * tankM3, spread: share.spread * tankM3 };
  }
  const spread = enteredSpread('fuelShare', level.si) * tankM3;
  return { value: level.si * tankM3, spread, standing: 'entered', source: `fuel-in-tank: ${level.text} of ${litres(tankM3)}` };
}

function litres(volumeM3: number): string {
  return `${Number((volumeM3 * 1000).toFixed(1))} L`;
}
