import { blowerDriveRatio } from '../boost/index.js';
import { type PressureLaw, pressureLaw } from '../sensors/index.js';
import type { BlowerInputs, InjectorInputs, RunInputs } from './inputs.js';
import type { CarFile, SensorLineFile, SetupFile } from './trialFile.js';

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
