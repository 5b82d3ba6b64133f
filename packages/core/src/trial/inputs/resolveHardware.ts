import { blowerDriveRatio } from '../../boost/index.js';
import { type PressureLaw, pressureLaw } from '../../sensors/index.js';
import type { CarFile, SensorLineFile, SetupFile, Written } from '../file/trialFile.js';
import { defaults, type EnteredName, enteredSpread } from './defaults.js';
import type { BlowerInputs, EngineInputs, InjectorInputs, RunInputs, StatedNumber } from './inputs.js';

/** The blower with the drive ratio that this setup's pulley gives it. */
export function resolveBlower({ blower }: CarFile, setup: SetupFile): BlowerInputs | null {
  const pulleyM = setup['blower-pulley']?.si;
  if (blower === undefined) return null;
  const crankPulleyM = blower['crank-pulley']?.si ?? null;
  return {
    displacementM3: blower.displacement?.si ?? null,
    crankPulleyM,
    maxRotorSpeedRpm: blower['max-rotor-speed']?.si ?? null,
    driveRatio: crankPulleyM === null || pulleyM === undefined ? null : blowerDriveRatio(crankPulleyM, pulleyM),
  };
}

/** The injectors as they were entered. */
export function resolveInjectors({ injectors }: CarFile): InjectorInputs | null {
  if (injectors === undefined) return null;
  const { count, flow, rail } = injectors;
  return {
    count: count ?? null,
    flow: flow === undefined ? null : { kind: flow.kind, value: flow.si },
    ratedPressurePa: injectors['at-pressure']?.si ?? null,
    rail: rail ?? null,
    deadTimeS: injectors['dead-time']?.si ?? null,
    railPressurePa: injectors['rail-pressure']?.si ?? null,
  };
}

/** What the routes to power take of the engine. The fuel's density, where assumed, is told with the mass. */
export function resolveEngine(car: CarFile): EngineInputs {
  const entered = (written: Written | undefined, name: EnteredName, field: string): StatedNumber | null =>
    written === undefined
      ? null
      : { value: written.si, spread: enteredSpread(name, written.si), standing: 'entered', source: `car.${field}: ${written.text}` };
  const { value, spread, source } = defaults.fuelDensity;
  return {
    fuelDensityKgPerM3: entered(car['fuel-density'], 'fuelDensity', 'fuel-density') ?? { value, spread, standing: 'assumed', source },
    volumetricEfficiency: entered(car['volumetric-efficiency'], 'volumetricEfficiency', 'volumetric-efficiency'),
    drivetrainEfficiency: entered(car['drivetrain-efficiency'], 'drivetrainEfficiency', 'drivetrain-efficiency'),
    specificConsumptionKgPerJ: entered(car['specific-consumption'], 'specificConsumption', 'specific-consumption'),
  };
}

/** Both sensor laws of a setup whose manifold pressure was logged through another sensor's. */
export function resolveMapSensor(setup: SetupFile): RunInputs['mapSensor'] {
  const sensor = setup['map-sensor'];
  if (sensor === undefined) return null;
  return { logged: lawOf(sensor.logged), fitted: lawOf(sensor.fitted) };
}

function lawOf(line: SensorLineFile): PressureLaw {
  return pressureLaw({ voltageV: 0, pressurePa: line['at-0V'].si }, { voltageV: 5, pressurePa: line['at-5V'].si });
}
