import { STANDARD_GRAVITY } from '../vehicle/index.js';
import { dragKgPerM, gradeChangeN, inputEffects, type PullConditions, roadLoadMoved, steadyForceN } from './conditions.js';

/** A pull at one engine speed: what its inputs are, its power by their best values, and its ground speed. */
export interface PullPoint {
  readonly conditions: PullConditions;
  readonly powerW: number;
  readonly speedMps: number;
}

/**
 * Mean wheel power of pulls as a function of how far each input is off, in standard uncertainties: the whole balance, not its slope.
 *
 * P = (m k_r a (1 + s) + ½ρC_dA (v (1 + s) + w)² + m g (C_rr + grade)) v (1 + s), s the error of the speed scale, a as recorded.
 *
 * @param points One for each pull.
 * @returns `keys` of the inputs in order, and the function of their offsets.
 *
 * Source: DESIGN §8 (Gillespie 1992, eq. 4-12); the inputs are those of {@link inputEffects}.
 */
export function drawnPower(points: readonly PullPoint[]): {
  readonly keys: readonly string[];
  readonly meanW: (offsets: readonly number[]) => number;
} {
  const keys: string[] = [];
  const own = points.map(({ conditions, powerW, speedMps }) => {
    // An input may come in several parts, such as what pulls share of a grade and what each has by itself: their places in order.
    const places = new Map<string, number[]>();
    for (const { name, key } of inputEffects(conditions, powerW, speedMps)) {
      const id = `${name}|${key}`;
      if (!keys.includes(id)) keys.push(id);
      places.set(name, [...(places.get(name) ?? []), keys.indexOf(id)]);
    }
    return places;
  });
  const balances = points.map((point, p) => balanceOf(point, (name, part = 0) => own[p]!.get(name)?.[part] ?? -1));
  const meanW = (offsets: readonly number[]): number => balances.reduce((sum, powerAt) => sum + powerAt(offsets), 0) / points.length;
  return { keys, meanW };
}

/** Power of one pull as a function of all offsets; what does not depend on them is worked out once. */
function balanceOf(
  { conditions, powerW, speedMps }: PullPoint,
  placeOf: (name: string, part?: number) => number,
): (offsets: readonly number[]) => number {
  const { massKg, ownMassSpreadKg, rotatingFactor, road, windMps, grade, speedScaleSpread, heading = 1 } = conditions;
  const { airDensityKgPerM3, airDensitySpreadKgPerM3 = 0 } = conditions;
  const nominalAirMps = speedMps + windMps.value;
  const inertiaN =
    powerW / speedMps -
    dragKgPerM(conditions) * nominalAirMps * Math.abs(nominalAirMps) -
    steadyForceN(conditions) -
    gradeChangeN(conditions, speedMps);
  const place = road?.placeAt(speedMps) ?? 0;
  const at = {
    speed: placeOf('speed scale, tyre slip and growth'),
    mass: placeOf('mass'),
    fuel: placeOf('fuel and cargo'),
    rotating: placeOf('rotating parts'),
    density: placeOf('air density'),
    drag: placeOf('drag area'),
    rolling: placeOf('rolling resistance'),
    wind: placeOf('wind'),
    grade: [0, 1, 2, 3].map((part) => placeOf('grade', part)),
  };
  return (offsets) => {
    const scale = 1 + offsets[at.speed]! * speedScaleSpread;
    const mass = massKg.value + offsets[at.mass]! * massKg.spread + offsets[at.fuel]! * ownMassSpreadKg;
    const rotating = (rotatingFactor.value + offsets[at.rotating]! * rotatingFactor.spread) / rotatingFactor.value;
    const density = airDensityKgPerM3 + offsets[at.density]! * airDensitySpreadKgPerM3;
    const { dragAreaM2: area, rollingCoefficient } = roadLoadMoved(conditions, {
      drag: offsets[at.drag]!,
      rolling: offsets[at.rolling]!,
    });
    const airMps = speedMps * scale + windMps.value + heading * offsets[at.wind]! * windMps.spread;
    const own =
      road === undefined
        ? 0
        : offsets[at.grade[1]!]! * road.ownGradeSpread +
          place * (road.change.value + offsets[at.grade[2]!]! * road.change.spread + offsets[at.grade[3]!]! * road.ownChangeSpread);
    const resistance = rollingCoefficient + grade.value + heading * offsets[at.grade[0]!]! * grade.spread + own;
    const forceN =
      ((inertiaN * mass) / massKg.value) * rotating * scale +
      0.5 * density * area * airMps * Math.abs(airMps) +
      mass * STANDARD_GRAVITY * resistance;
    return forceN * speedMps * scale;
  };
}
