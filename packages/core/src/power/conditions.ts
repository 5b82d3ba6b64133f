import { STANDARD_GRAVITY } from '../vehicle/index.js';
/** A value with one standard uncertainty. */
export interface Uncertain {
  readonly value: number;
  readonly spread: number;
}

/** What must be known of a pull besides its log. Keys say which pulls share an error. */
export interface PullConditions {
  readonly massKg: Uncertain;
  /** Part of the mass uncertainty that this run has by itself (fuel), kg. */
  readonly ownMassSpreadKg: number;
  readonly rotatingFactor: Uncertain;
  readonly airDensityKgPerM3: number;
  readonly dragAreaM2: Uncertain;
  readonly rollingCoefficient: Uncertain;
  /** Headwind, m/s. */
  readonly windMps: Uncertain;
  /** Rise over run. */
  readonly grade: Uncertain;
  /** Relative uncertainty of the ground speed: scale of the channel, tyre slip and growth. */
  readonly speedScaleSpread: number;
  /** Pulls with the same key share mass of the car, drag area, rolling, gearing. */
  readonly carKey: string;
  readonly runKey: string;
  /** Pulls with the same key share wind. */
  readonly windKey: string;
  /** Pulls with the same key share grade: same road. */
  readonly gradeKey: string;
  /** −1 for a pull against the direction of the others: what wind and grade do to it has the other sign. 1 when left out. */
  readonly heading?: 1 | -1;
}

/** Terms of the balance at one point: inertia, drag, rolling and grade forces, N. */
export interface Forces {
  readonly inertiaN: number;
  readonly dragN: number;
  readonly rollingN: number;
  readonly gradeN: number;
}

/** Drag factor ½ρC_dA, kg/m. */
export function dragKgPerM(conditions: PullConditions): number {
  return 0.5 * conditions.airDensityKgPerM3 * conditions.dragAreaM2.value;
}

/** Rolling and grade force together, N; cos θ is taken as 1 (grade below 5 %: 0.1 %). */
export function steadyForceN(conditions: PullConditions): number {
  return conditions.massKg.value * STANDARD_GRAVITY * (conditions.rollingCoefficient.value + conditions.grade.value);
}

/** An input's effect on power: which pulls share it, and the change of power (W) for one standard uncertainty. */
export interface InputEffect {
  readonly name: string;
  readonly key: string;
  readonly powerW: number;
}

/**
 * First-order effects of each uncertain input on the power of one pull at one point.
 *
 * @param conditions Inputs with spread.
 * @param powerW Wheel power at the point, W.
 * @param speedMps Ground speed there, m/s.
 * @returns Change of power for one standard uncertainty of each input, signed: wind and grade along the heading.
 *
 * Source: JCGM 100:2008, 5.1.2, on the balance of DESIGN §8 (Gillespie 1992, eq. 4-12).
 */
export function inputEffects(conditions: PullConditions, powerW: number, speedMps: number): InputEffect[] {
  const { massKg, windMps, carKey, runKey, windKey, gradeKey, heading = 1 } = conditions;
  const airMps = speedMps + windMps.value;
  const drag = dragKgPerM(conditions);
  const dragN = drag * airMps * Math.abs(airMps);
  const steadyN = steadyForceN(conditions);
  const inertiaN = powerW / speedMps - dragN - steadyN;
  const perMass = (inertiaN + steadyN) / massKg.value;
  return [
    { name: 'mass', key: carKey, powerW: perMass * speedMps * massKg.spread },
    { name: 'fuel and cargo', key: runKey, powerW: perMass * speedMps * conditions.ownMassSpreadKg },
    {
      name: 'rotating parts',
      key: carKey,
      powerW: (inertiaN / conditions.rotatingFactor.value) * speedMps * conditions.rotatingFactor.spread,
    },
    { name: 'drag area', key: carKey, powerW: (dragN / conditions.dragAreaM2.value) * speedMps * conditions.dragAreaM2.spread },
    { name: 'rolling resistance', key: carKey, powerW: massKg.value * STANDARD_GRAVITY * speedMps * conditions.rollingCoefficient.spread },
    { name: 'wind', key: windKey, powerW: heading * 2 * drag * Math.abs(airMps) * speedMps * windMps.spread },
    { name: 'grade', key: gradeKey, powerW: heading * massKg.value * STANDARD_GRAVITY * speedMps * conditions.grade.spread },
    {
      name: 'speed scale, tyre slip and growth',
      key: carKey,
      powerW: (2 * inertiaN + (1 + (2 * speedMps) / airMps) * dragN + steadyN) * speedMps * conditions.speedScaleSpread,
    },
  ];
}
