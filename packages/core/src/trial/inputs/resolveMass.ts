import { massLedger, type WeighedCar } from '../../vehicle/index.js';
import type { CarFile, Conditions, FuelLevel, SetupFile, Written } from '../file/trialFile.js';
import type { AssumptionLedger } from './assumptions.js';
import { type EnteredName, enteredSpread } from './defaults.js';
import type { RunInputs, StatedNumber } from './inputs.js';

type ResolvedMass = Pick<RunInputs, 'massKg' | 'massOwnSpreadKg' | 'ledger'>;

/** Mass as driven, its ledger, and how much of its spread is not shared with the car's other runs. */
export function resolveMass(car: CarFile, setup: SetupFile, run: Conditions, log: string, assumed: AssumptionLedger): ResolvedMass {
  const fuelDensityKgPerM3 = stated(car['fuel-density'], 'fuelDensity', 'car.fuel-density') ?? assumed.assume('fuelDensity', log);
  const carDriver = stated(car.driver, 'driver', 'car.driver');
  const ownDriver = stated(run.driver ?? setup.driver, 'driver', 'driver');
  const ownCargo = stated(run.cargo ?? setup.cargo, 'cargo', 'cargo');
  const weighed = weighedCar(car, carDriver, ownDriver !== undefined, log, assumed);
  const ledger = massLedger({
    weighed,
    driverKg: ownDriver ?? carDriver ?? assumed.assume('driver', log),
    cargoKg: ownCargo ?? stated(car.cargo, 'cargo', 'car.cargo') ?? assumed.assume('cargo', log),
    fuelVolumeM3: fuelVolume(run['fuel-in-tank'], car, 'fuelLevel', log, assumed),
    fuelDensityKgPerM3,
  });
  const own = ledger.spreadParts.filter(
    ({ input }) =>
      input === 'fuel in the tank' || (input === 'driver' && ownDriver !== undefined) || (input === 'cargo' && ownCargo !== undefined),
  );
  return {
    massKg: { value: ledger.massKg, spread: ledger.spreadKg, standing: ledger.standing, source: 'car, driver, cargo and fuel' },
    massOwnSpreadKg: Math.hypot(...own.map(({ massKg }) => massKg)),
    ledger: ledger.items,
  };
}

/** The car on the scale. A driver who sat in but does not drive this run is taken off here. */
function weighedCar(
  car: CarFile,
  carDriver: StatedNumber | undefined,
  otherDriver: boolean,
  log: string,
  assumed: AssumptionLedger,
): WeighedCar {
  const { weighed } = car;
  const withoutFuel = stated(car['mass-without-fuel'], 'scale', 'car.mass-without-fuel');
  if (withoutFuel !== undefined) return { massKg: withoutFuel, fuelVolumeM3: null, driver: 'out' };
  const brochure = stated(car.weight?.brochure, 'brochure', 'car.weight.brochure');
  // Brochures weigh the car with a full tank and nobody in it.
  if (brochure !== undefined) return { massKg: brochure, fuelVolumeM3: fullTank(car, log, assumed), driver: 'out' };
  if (weighed === undefined) return { massKg: assumed.assume('carMass', log), fuelVolumeM3: null, driver: 'out' };
  const fuelVolumeM3 = fuelVolume(weighed['fuel-in-tank'], car, 'fuelLevelOnScale', log, assumed);
  const massKg = stated(weighed.mass, 'scale', 'car.weighed.mass')!;
  if (weighed.driver === undefined) {
    const perhaps = assumed.assume('driverOnScale', log);
    return { massKg: { ...massKg, spread: Math.hypot(massKg.spread, perhaps.spread) }, fuelVolumeM3, driver: 'out' };
  }
  if (weighed.driver === 'out' || !otherDriver) return { massKg, fuelVolumeM3, driver: weighed.driver };
  const satIn = carDriver ?? assumed.assume('driver', log);
  return {
    massKg: {
      ...massKg,
      value: massKg.value - satIn.value,
      spread: Math.hypot(massKg.spread, satIn.spread),
      source: `${massKg.source}, less the driver who sat in, ${satIn.value} kg`,
    },
    fuelVolumeM3,
    driver: 'out',
  };
}

/** As full as a brochure has it: 90 to 100 % of the tank. */
function fullTank(car: CarFile, log: string, assumed: AssumptionLedger): StatedNumber {
  const tankM3 = car.tank?.si ?? assumed.assume('tank', log).value;
  return { value: 0.95 * tankM3, spread: 0.05 * tankM3, standing: 'assumed', source: 'as full as a brochure has it' };
}

function stated(written: Written | undefined, name: EnteredName, field: string): StatedNumber | undefined {
  if (written === undefined) return undefined;
  return { value: written.si, spread: enteredSpread(name, written.si), standing: 'entered', source: `${field}: ${written.text}` };
}

/** Fuel in the tank, m³. */
function fuelVolume(
  level: FuelLevel | undefined,
  car: CarFile,
  name: 'fuelLevel' | 'fuelLevelOnScale',
  log: string,
  assumed: AssumptionLedger,
): StatedNumber {
  if (level?.kind === 'volume') return stated(level, 'fuelVolume', 'fuel-in-tank')!;
  const tankM3 = car.tank?.si ?? assumed.assume('tank', log).value;
  const share = stated(level, 'fuelShare', 'fuel-in-tank') ?? assumed.assume(name, log);
  return { ...share, value: share.value * tankM3, spread: share.spread * tankM3 };
}
