import { type BeyondCeiling, beyondCeiling } from './beyondCeiling.js';
import { type Ceiling, readingsOnCeiling } from './findCeilings.js';

/** Readings of one pull against engine speed. */
export interface PullPressure {
  readonly rpm: ArrayLike<number>;
  readonly values: ArrayLike<number>;
}

/** Estimates on a grid of engine speeds. */
export interface PressureBeyond extends BeyondCeiling {
  readonly engineSpeedRpm: readonly number[];
}

/** Only the top of the rise counts: lower down throttle and spool-up bend the curve. */
const nearShare = 0.2;
/** Fewer free readings than this, or a tail of them, carry nothing; common practice, no source. */
const leastFree = 8;
const stepRpm = 100;
/** Pressure is said to lie beyond the ceiling where so many readings within 100 rpm rest on it. */
const leastOnShare = 0.9;

/**
 * What pressure was above a ceiling at every 100 rpm at which readings of pulls rest on it.
 *
 * @param pulls readings of the pulls of one log
 * @param ceiling their upper end, in the unit of the values
 * @param options `shift`: what makes the values absolute; `references`: pulls of the same car without a ceiling, absolute, best first, each group by itself; `stationPressurePa`: of the air there, 100 kPa unless given
 * @returns null where no engine speed is left, where nothing of this car was read free of the ceiling at these engine speeds, or where it does not carry
 */
export function pressureBeyondCeiling(
  pulls: readonly PullPressure[],
  ceiling: Ceiling,
  options: {
    readonly shift?: number;
    readonly references?: readonly (readonly PullPressure[])[];
    readonly stationPressurePa?: number;
    readonly seed?: number;
  } = {},
): PressureBeyond | null {
  const { shift = 0, references = [], stationPressurePa = 1e5, seed = 1 } = options;
  const absolute = { ...ceiling, value: ceiling.value + shift };
  const rows = pulls.flatMap(({ rpm, values }, pull) =>
    Array.from(values, (value, i) => ({ rpm: rpm[i]!, value: value + shift, pull })).filter(
      (row) => Number.isFinite(row.rpm) && row.value > absolute.value * (1 - nearShare),
    ),
  );
  const values = Float64Array.from(rows, ({ value }) => value);
  const on = readingsOnCeiling(values, absolute);
  const speeds = rows.filter((_, i) => on[i] === 1).map(({ rpm }) => rpm);
  if (speeds.length === 0 || values.length - speeds.length < leastFree) return null;
  const first = Math.ceil(Math.min(...speeds) / stepRpm) * stepRpm;
  const every = Array.from({ length: Math.max(0, Math.floor((Math.max(...speeds) - first) / stepRpm) + 1) }, (_, i) => first + stepRpm * i);
  // Where some pulls stay below it, the mean may lie below the ceiling too, and readings tell it.
  const engineSpeedRpm = every.filter((asked) => {
    const near = rows.flatMap(({ rpm }, i) => (Math.abs(rpm - asked) <= stepRpm ? [on[i]!] : []));
    return near.length > 0 && near.reduce((sum, flag) => sum + flag, 0) >= leastOnShare * near.length;
  });
  if (engineSpeedRpm.length === 0) return null;
  const axis = Float64Array.from(rows, ({ rpm }) => rpm);
  const pull = rows.map((row) => row.pull);
  const span = [Math.min(...axis), Math.max(...axis)] as const;
  for (const group of references) {
    const reference = meanCurve(group);
    if (!covers(reference, span)) continue;
    const found = beyondCeiling(axis, values, absolute, engineSpeedRpm, reference, { pulls: pull, base: stationPressurePa, seed });
    if (found.estimates.some((one) => one !== null)) return { ...found, engineSpeedRpm };
  }
  return null;
}

/** Mean of pulls over 150 rpm about an engine speed; NaN where one of them has no reading. */
function meanCurve(pulls: readonly PullPressure[]): (rpm: number) => number {
  const known = new Map<number, number>();
  return (asked) => {
    const place = asked / 25;
    const low = Math.floor(place);
    const ends = [low, low + 1].map((k) => {
      const before = known.get(k);
      if (before !== undefined) return before;
      const means = pulls.map(({ rpm, values }) => localMean(rpm, values, 25 * k));
      const value = means.reduce((sum, mean) => sum + mean, 0) / means.length;
      known.set(k, value);
      return value;
    });
    return place === low ? ends[0]! : ends[0]! + (ends[1]! - ends[0]!) * (place - low);
  };
}

/** A straight line through the readings within 150 rpm, at their middle. */
function localMean(rpm: ArrayLike<number>, values: ArrayLike<number>, at: number): number {
  let n = 0;
  let mx = 0;
  let my = 0;
  const near: number[] = [];
  for (let i = 0; i < values.length; i++) {
    if (!(Math.abs(rpm[i]! - at) <= 150) || !Number.isFinite(values[i]!)) continue;
    near.push(i);
    n++;
    mx += rpm[i]! - at;
    my += values[i]!;
  }
  if (n < 2) return Number.NaN;
  mx /= n;
  my /= n;
  let xx = 0;
  let xy = 0;
  for (const i of near) {
    xx += (rpm[i]! - at - mx) ** 2;
    xy += (rpm[i]! - at - mx) * (values[i]! - my);
  }
  return xx === 0 ? my : my - (xy / xx) * mx;
}

function covers(curve: (rpm: number) => number, [from, to]: readonly [number, number]): boolean {
  for (let rpm = from; rpm <= to; rpm += 100) if (Number.isNaN(curve(rpm))) return false;
  return !Number.isNaN(curve(to));
}
