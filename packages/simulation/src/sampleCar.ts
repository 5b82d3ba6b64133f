import type { BlownEngineSpec } from './blownEngine.js';
import type { Car } from './car.js';

/** What the sample car's owner would enter; the simulated car is made of the same numbers. */
export const sampleEntries = {
  scaleMassKg: 1467,
  scaleFuelL: 25,
  driverKg: 78,
  cargoKg: 5,
  tankL: 62,
  fuelKgPerL: 0.748,
  crankPulleyMm: 160,
  injectorCcPerMin: 420,
} as const;

/** The invented car with so much fuel in it. */
export function sampleCar(fuelL: number): Car {
  const { scaleMassKg, scaleFuelL, driverKg, cargoKg, fuelKgPerL } = sampleEntries;
  return {
    massKg: scaleMassKg + driverKg + cargoKg + (fuelL - scaleFuelL) * fuelKgPerL,
    dragAreaM2: 0.655,
    rollingCoefficient: 0.0118,
    tyreRadiusM: 0.308,
    gearRatios: [3.42, 2.14, 1.45, 1.08, 0.85],
    finalDrive: 3.45,
    wheelInertiaKgM2: 4.1,
    engineInertiaKgM2: 0.21,
    idleRpm: 850,
    engineBrakingNm: 42,
    slipPerWeight: 0.03,
  };
}

/** Hardware that the trial changes. */
export interface SampleSetup {
  readonly name: string;
  readonly pulleyMm: number;
  readonly cooler: 'small' | 'large';
}

export const baseSetup: SampleSetup = { name: 'base', pulleyMm: 79, cooler: 'small' };
export const coolerSetup: SampleSetup = { name: 'large charge cooler', pulleyMm: 79, cooler: 'large' };
export const pulleySetup: SampleSetup = { name: '74 mm pulley', pulleyMm: 74, cooler: 'small' };

/**
 * The invented 2.8-litre engine in one setup on one day.
 *
 * With the small pulley the blower gives 6–7 % more air, but with the small cooler charge temperature and pressure pass the start of knock in
 * the middle of the range, and the retard (which the calibration limits) takes the gain back. The large cooler keeps the spark.
 */
export function sampleEngine(setup: SampleSetup, ambientK: number, ambientPa: number): BlownEngineSpec {
  const large = setup.cooler === 'large';
  return {
    blower: {
      blowerVolumeM3: 1.25e-3,
      engineVolumeM3: 2.8e-3,
      driveRatio: sampleEntries.crankPulleyMm / setup.pulleyMm,
      fillShare: 0.95,
      leakageRpm: 1000,
      adiabaticEfficiency: (rotorRpm) => 0.65 - 0.02 * ((rotorRpm - 9000) / 9000) ** 2,
      volumetricEfficiency: (rpm) => 1 - 0.06 * ((rpm - 5600) / 2400) ** 2,
      coolerEffectiveness: (flow) => 1 - Math.exp(-(large ? 2.5 : 1.7) * (0.15 / flow) ** 0.3),
      inletLoss: 60e3,
      coolerLoss: large ? 70e3 : 110e3,
    },
    cylinders: 6,
    idleRpm: 850,
    ambientK,
    ambientPa,
    coolerHeatJPerK: large ? 18e3 : 9e3,
    coolerStandingWPerK: 60,
    coolerMovingWPerK: large ? 39 : 30,
    sparkBackAboveK: 317,
    sparkBackDegPerK: 0.2,
    knockMostDeg: 2,
    knockK: 316,
    knockDegPerK: 0.7,
    knockPa: 174e3,
    knockDegPerPa: 1e-3,
    fuelStoich: 14.1,
    fullLoadLambda: 0.81,
    // Rich by 1 % low down, lean by 2 % at the top.
    lambdaError: (rpm) => 0.99 + 0.03 / (1 + Math.exp(-(rpm - 5000) / 500)),
    injectorKgPerS: (sampleEntries.injectorCcPerMin / 60) * 1e-3 * sampleEntries.fuelKgPerL,
    injectorDeadS: 0.9e-3,
    railAcrossPa: 300e3,
    drivelineShare: 0.88,
  };
}
