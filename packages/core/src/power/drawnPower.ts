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
  const meanW = (offsets: readonly number[]): number =>
    points.reduce((sum, point, p) => sum + powerAt(point, (name, part = 0) => offsets[own[p]!.get(name)![part]!]!), 0) / points.length;
  return { keys, meanW };
}

function powerAt({ conditions, powerW, speedMps }: PullPoint, off: (name: string, part?: number) => number): number {
  const { massKg, ownMassSpreadKg, rotatingFactor, road, windMps, grade, speedScaleSpread, heading = 1 } = conditions;
  const nominalAirMps = speedMps + windMps.value;
  const inertiaN =
    powerW / speedMps -
    dragKgPerM(conditions) * nominalAirMps * Math.abs(nominalAirMps) -
    steadyForceN(conditions) -
    gradeChangeN(conditions, speedMps);
  const scale = 1 + off('speed scale, tyre slip and growth') * speedScaleSpread;
  const mass = massKg.value + off('mass') * massKg.spread + off('fuel and cargo') * ownMassSpreadKg;
  const rotating = (rotatingFactor.value + off('rotating parts') * rotatingFactor.spread) / rotatingFactor.value;
  const { dragAreaM2: area, rollingCoefficient } = roadLoadMoved(conditions, {
    drag: off('drag area'),
    rolling: off('rolling resistance'),
  });
  const airMps = speedMps * scale + windMps.value + heading * off('wind') * windMps.spread;
  const place = road?.placeAt(speedMps) ?? 0;
  const own =
    road === undefined
      ? 0
      : off('grade', 1) * road.ownGradeSpread +
        place * (road.change.value + off('grade', 2) * road.change.spread + off('grade', 3) * road.ownChangeSpread);
  const resistance = rollingCoefficient + grade.value + heading * off('grade') * grade.spread + own;
  const forceN =
    ((inertiaN * mass) / massKg.value) * rotating * scale +
    0.5 * conditions.airDensityKgPerM3 * area * airMps * Math.abs(airMps) +
    mass * STANDARD_GRAVITY * resistance;
  return forceN * speedMps * scale;
}
