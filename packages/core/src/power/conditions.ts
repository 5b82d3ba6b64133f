import { STANDARD_GRAVITY } from '../vehicle/index.js';
/** A value with one standard uncertainty. */
export interface Uncertain {
  readonly value: number;
  readonly spread: number;
}

/** Grade along a pull: `grade` of the conditions holds in the middle of the distance, and changes evenly. */
export interface RoadProfile {
  /** Where the car is at a ground speed: −½ at the start of the pull, ½ at its end. */
  readonly placeAt: (speedMps: number) => number;
  /** Grade at the end less at the start; its spread is shared by the pulls with the same `gradeKey`. */
  readonly change: Uncertain;
  /** What this pull's grade, and its change, may be off by themselves. */
  readonly ownGradeSpread: number;
  readonly ownChangeSpread: number;
  readonly key: string;
}

/** What must be known of a pull besides its log. Keys say which pulls share an error. */
export interface PullConditions {
  readonly massKg: Uncertain;
  /** Part of the mass uncertainty that this run has by itself (fuel), kg. */
  readonly ownMassSpreadKg: number;
  readonly rotatingFactor: Uncertain;
  readonly airDensityKgPerM3: number;
  /** One standard uncertainty of it; none when left out. Shared where wind is: same outing, same weather reading. */
  readonly airDensitySpreadKgPerM3?: number;
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
  /** Covariance of drag area and rolling coefficient, m²: those of one fit to coast-downs partly cancel. 0 when left out. */
  readonly roadLoadCovarianceM2?: number;
  /** Present where the grade was measured along the pull itself. */
  readonly road?: RoadProfile;
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

/** Rolling and grade force together in the middle of the pull, N; cos θ is taken as 1 (grade below 5 %: 0.1 %). */
export function steadyForceN(conditions: PullConditions): number {
  return conditions.massKg.value * STANDARD_GRAVITY * (conditions.rollingCoefficient.value + conditions.grade.value);
}

/** Force of the grade here beyond that in the middle of the pull, N; 0 where the grade is one number. */
export function gradeChangeN({ massKg, road }: PullConditions, speedMps: number): number {
  return road === undefined ? 0 : massKg.value * STANDARD_GRAVITY * road.change.value * road.placeAt(speedMps);
}

/**
 * Drag area and rolling coefficient for two independent offsets in standard uncertainties: the first moves both as far as they are correlated.
 */
export function roadLoadMoved(
  { dragAreaM2, rollingCoefficient, roadLoadCovarianceM2 = 0 }: PullConditions,
  offsets: { readonly drag: number; readonly rolling: number },
): { readonly dragAreaM2: number; readonly rollingCoefficient: number } {
  const together = dragAreaM2.spread > 0 ? roadLoadCovarianceM2 / dragAreaM2.spread : 0;
  const apart = Math.sqrt(Math.max(0, rollingCoefficient.spread ** 2 - together ** 2));
  return {
    dragAreaM2: dragAreaM2.value + offsets.drag * dragAreaM2.spread,
    rollingCoefficient: rollingCoefficient.value + offsets.drag * together + offsets.rolling * apart,
  };
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
 * Drag area takes along what the rolling coefficient does with it, so that the effects are independent and their squares add up to
 * the sum with correlation.
 *
 * Source: JCGM 100:2008, 5.1.2 and 5.2.2, on the balance of DESIGN §8 (Gillespie 1992, eq. 4-12).
 */
export function inputEffects(conditions: PullConditions, powerW: number, speedMps: number): InputEffect[] {
  const { massKg, windMps, carKey, runKey, windKey, gradeKey, heading = 1 } = conditions;
  const airMps = speedMps + windMps.value;
  const drag = dragKgPerM(conditions);
  const dragN = drag * airMps * Math.abs(airMps);
  const steadyN = steadyForceN(conditions) + gradeChangeN(conditions, speedMps);
  const inertiaN = powerW / speedMps - dragN - steadyN;
  const perMass = (inertiaN + steadyN) / massKg.value;
  const weightW = massKg.value * STANDARD_GRAVITY * speedMps;
  const moved = (offsets: { readonly drag: number; readonly rolling: number }): number => {
    const to = roadLoadMoved(conditions, offsets);
    const areaN = (dragN * (to.dragAreaM2 - conditions.dragAreaM2.value)) / conditions.dragAreaM2.value;
    return areaN * speedMps + weightW * (to.rollingCoefficient - conditions.rollingCoefficient.value);
  };
  return [
    { name: 'mass', key: carKey, powerW: perMass * speedMps * massKg.spread },
    { name: 'fuel and cargo', key: runKey, powerW: perMass * speedMps * conditions.ownMassSpreadKg },
    {
      name: 'rotating parts',
      key: carKey,
      powerW: (inertiaN / conditions.rotatingFactor.value) * speedMps * conditions.rotatingFactor.spread,
    },
    { name: 'drag area', key: carKey, powerW: moved({ drag: 1, rolling: 0 }) },
    {
      name: 'air density',
      key: windKey,
      powerW: (dragN / conditions.airDensityKgPerM3) * speedMps * (conditions.airDensitySpreadKgPerM3 ?? 0),
    },
    { name: 'rolling resistance', key: carKey, powerW: moved({ drag: 0, rolling: 1 }) },
    { name: 'wind', key: windKey, powerW: heading * 2 * drag * Math.abs(airMps) * speedMps * windMps.spread },
    { name: 'grade', key: gradeKey, powerW: heading * weightW * conditions.grade.spread },
    ...profileEffects(conditions, weightW, speedMps),
    {
      name: 'speed scale, tyre slip and growth',
      key: carKey,
      powerW: (2 * inertiaN + (1 + (2 * speedMps) / airMps) * dragN + steadyN) * speedMps * conditions.speedScaleSpread,
    },
  ];
}

/** What a grade measured along the pull may be off beside its middle value. */
function profileEffects({ road, gradeKey }: PullConditions, weightW: number, speedMps: number): InputEffect[] {
  if (road === undefined) return [];
  const place = road.placeAt(speedMps);
  return [
    { name: 'grade', key: road.key, powerW: weightW * road.ownGradeSpread },
    { name: 'grade', key: `${gradeKey}, change`, powerW: weightW * place * road.change.spread },
    { name: 'grade', key: `${road.key}, change`, powerW: weightW * place * road.ownChangeSpread },
  ];
}
