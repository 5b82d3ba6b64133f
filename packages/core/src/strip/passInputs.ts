import { STANDARD_GRAVITY } from '../vehicle/index.js';
import type { PassCar, PassDay } from './passCar.js';
import { extrapolationSpread } from './powerTable.js';
import { usualRollOutM } from './stripGeometry.js';

/** An input of a simulated pass that is not exactly known. Its deviation is counted in standard uncertainties. */
export interface PassInput {
  readonly name: PassInputName;
  /** What one standard uncertainty is: a share (of the logarithm), or an amount in SI. */
  readonly spread: number;
  /** `car` stays from pass to pass, `pass` is drawn anew. */
  readonly scope: 'car' | 'pass';
}

export type PassInputName =
  | 'power'
  | 'slope of the power curve'
  | 'power beyond the measured engine speeds'
  | 'power against air density'
  | 'grip'
  | 'launch'
  | 'shifts'
  | 'mass'
  | 'drag area'
  | 'rolling resistance'
  | 'roll-out'
  | 'rotating parts'
  | 'engine speed at launch'
  | 'grip of the pass'
  | 'power of the pass'
  | 'wind'
  | 'slope of the strip'
  | 'air density'
  | 'fuel and load of the pass';

/** A car, its nominal values and how far each may be off. */
export interface PassModel {
  readonly car: PassCar;
  /** Air density in which the car's power curve holds, kg/m³. */
  readonly curveDensityKgPerM3: number;
  /** Exponent q in power ∝ density^q. */
  readonly densityExponent: number;
  readonly spreads: PassSpreads;
  /** Gear that the power curve was measured in: heavier spinning parts mean that the pulls showed more power as well. Left out where power does not come from pulls. */
  readonly pulled?: { readonly rpmPerMps: number; readonly rotatingFactor: number };
}

/** One standard uncertainty of each input; shares are relative. */
export interface PassSpreads {
  readonly powerShare: number;
  /** Of the power at each end of the measured range, opposite in sign. */
  readonly powerSlopeShare: number;
  readonly densityExponent: number;
  readonly gripShare: number;
  readonly launchShare: number;
  readonly shiftShare: number;
  readonly massShare: number;
  readonly dragShare: number;
  readonly rollingShare: number;
  readonly rollOutM: number;
  /** Of what spinning parts add to the mass. */
  readonly rotatingShare: number;
  readonly launchRpmShare: number;
  /** From pass to pass. */
  readonly gripRepeatShare: number;
  readonly powerRepeatShare: number;
}

/** Spreads where nothing better is known; common practice, no source. */
export const usualPassSpreads: PassSpreads = {
  powerShare: 0.03,
  powerSlopeShare: 0.02,
  densityExponent: 0.15,
  gripShare: 0.18,
  launchShare: 0.5,
  shiftShare: 0.3,
  massShare: 0.01,
  dragShare: 0.05,
  rollingShare: 0.08,
  rollOutM: usualRollOutM.spread,
  rotatingShare: 0.25,
  launchRpmShare: 0.1,
  gripRepeatShare: 0.03,
  powerRepeatShare: 0.007,
};

/** What a pass meets, with its spreads. */
export interface UncertainDay extends PassDay {
  readonly windSpreadMps: number;
  readonly gradeSpread: number;
  readonly densitySpreadShare: number;
  /** Mass of this pass over that of the model's car: fuel, driver, load. */
  readonly massFactor: number;
  readonly massSpreadShare: number;
}

/** Inputs that stay from pass to pass, in the order of the vectors. */
export function carInputs({ spreads }: PassModel): PassInput[] {
  const input = (name: PassInputName, spread: number): PassInput => ({ name, spread, scope: 'car' });
  return [
    input('power', spreads.powerShare),
    input('slope of the power curve', spreads.powerSlopeShare),
    input('power beyond the measured engine speeds', 1),
    input('power against air density', spreads.densityExponent),
    input('grip', spreads.gripShare),
    input('launch', spreads.launchShare),
    input('shifts', spreads.shiftShare),
    input('mass', spreads.massShare),
    input('drag area', spreads.dragShare),
    input('rolling resistance', spreads.rollingShare),
    input('roll-out', spreads.rollOutM),
    input('rotating parts', spreads.rotatingShare),
    input('engine speed at launch', spreads.launchRpmShare),
  ];
}

/** Inputs that a pass has for itself, in the order of the vectors. */
export function ownInputs({ spreads }: PassModel, day: UncertainDay): PassInput[] {
  const input = (name: PassInputName, spread: number): PassInput => ({ name, spread, scope: 'pass' });
  return [
    input('grip of the pass', spreads.gripRepeatShare),
    input('power of the pass', spreads.powerRepeatShare),
    input('wind', day.windSpreadMps),
    input('slope of the strip', day.gradeSpread),
    input('air density', day.densitySpreadShare),
    input('fuel and load of the pass', day.massSpreadShare),
  ];
}

/**
 * Car and day with every input moved by so many standard uncertainties: shares as exp(z · spread), amounts as value + z · spread.
 *
 * @param carZ in the order of {@link carInputs}
 * @param ownZ in the order of {@link ownInputs}
 */
export function movedPass(
  model: PassModel,
  day: UncertainDay,
  carZ: ArrayLike<number>,
  ownZ: ArrayLike<number>,
): { readonly car: PassCar; readonly day: PassDay } {
  const { car, spreads } = model;
  const times = (value: number, z: number, share: number): number => value * Math.exp(z * share);
  const airDensityKgPerM3 = times(day.airDensityKgPerM3, ownZ[4]!, day.densitySpreadShare);
  const exponent = model.densityExponent + carZ[3]! * spreads.densityExponent;
  const scale =
    Math.exp(carZ[0]! * spreads.powerShare + ownZ[1]! * spreads.powerRepeatShare) *
    (airDensityKgPerM3 / model.curveDensityKgPerM3) ** exponent;
  const { power } = car;
  const middleRpm = (power.fromRpm + power.toRpm) / 2;
  const slopePerRpm = (carZ[1]! * spreads.powerSlopeShare) / ((power.toRpm - power.fromRpm) / 2);
  const beyondZ = carZ[2]!;
  const massFactor = day.massFactor * Math.exp(carZ[7]! * spreads.massShare + ownZ[5]! * day.massSpreadShare);
  const massKg = car.massKg * massFactor;
  const spun = (factor: number): number => 1 + (factor - 1) * Math.exp(carZ[11]! * spreads.rotatingShare);
  // What spins weighs the same with another load.
  const lighter = (factor: number): number => 1 + (spun(factor) - 1) / massFactor;
  const pulledMore = pulledPower(model, spun);
  return {
    car: {
      ...car,
      massKg,
      dragAreaM2: times(car.dragAreaM2, carZ[8]!, spreads.dragShare),
      rollingCoefficient: times(car.rollingCoefficient, carZ[9]!, spreads.rollingShare),
      gears: car.gears.map((gear) => ({ ...gear, rotatingFactor: lighter(gear.rotatingFactor) })),
      neutralRotatingFactor: lighter(car.neutralRotatingFactor),
      power: {
        ...power,
        at: (rpm) => {
          const inside = Math.min(Math.max(rpm, power.fromRpm), power.toRpm);
          return pulledMore(rpm) * scale * (1 + slopePerRpm * (inside - middleRpm)) * Math.exp(beyondZ * extrapolationSpread(power, rpm));
        },
      },
      grip: {
        ...car.grip,
        frictionCoefficient: car.grip.frictionCoefficient * Math.exp(carZ[4]! * spreads.gripShare + ownZ[0]! * spreads.gripRepeatShare),
      },
      launch: {
        ...car.launch,
        riseS: times(car.launch.riseS, carZ[5]!, spreads.launchShare),
        engineSpeedRpm: times(car.launch.engineSpeedRpm, carZ[12]!, spreads.launchRpmShare),
      },
      shift: { ...car.shift, holeS: times(car.shift.holeS, carZ[6]!, spreads.shiftShare) },
    },
    day: {
      airDensityKgPerM3,
      windMps: day.windMps + ownZ[2]! * day.windSpreadMps,
      grade: day.grade + ownZ[3]! * day.gradeSpread,
      // A car cannot roll backwards out of the beam: far below the usual it stands right on its edge.
      rollOutM: Math.max(0, day.rollOutM + carZ[10]! * spreads.rollOutM),
    },
  };
}

/** The curve as the pulls would have shown it with other spinning parts: only what went into speeding up grows with them. */
function pulledPower({ car, curveDensityKgPerM3, pulled }: PassModel, spun: (factor: number) => number): (rpm: number) => number {
  const { power } = car;
  if (pulled === undefined) return (rpm) => power.at(rpm);
  const more = spun(pulled.rotatingFactor) / pulled.rotatingFactor - 1;
  const dragKgPerM = 0.5 * curveDensityKgPerM3 * car.dragAreaM2;
  const rollingN = car.massKg * STANDARD_GRAVITY * car.rollingCoefficient;
  return (rpm) => {
    const watts = power.at(rpm);
    const v = Math.min(Math.max(rpm, power.fromRpm), power.toRpm) / pulled.rpmPerMps;
    const share = Math.max(0, 1 - ((dragKgPerM * v * v + rollingN) * v) / watts);
    return watts * (1 + share * more);
  };
}
