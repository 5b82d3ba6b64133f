import { type Channel, findChannel, freshSamples, type Log } from '../log/index.js';
import { type Ceiling, type CeilingSeries, findCeilings } from '../sensors/index.js';
import { convert, findUnit } from '../units/index.js';

/** A log whose manifold pressure stands on a level. */
export interface LevelledLog {
  readonly log: Log;
  readonly channel: Channel;
  readonly series: readonly CeilingSeries[];
  readonly setup: string | null;
}

/** Further beyond the level than this a sensor cannot read that ends there: counts, and a share of the level. */
const beyondCounts = 2.5;
const beyondShare = 0.004;
/** So many readings in a row are no bit error. */
const inARow = 3;
/** A valve moves with its duty when it changes by more than this while pressure stands. */
const livingDuty = 0.03;
const nearTarget = 0.03;
const targetName =
  /(boost|map|manifold|ladedruck|pressure).*(target|desired|request|setpoint|command|soll)|(target|desired|request|setpoint|command|soll).*(boost|map|manifold|ladedruck|pressure)/i;

/**
 * Why a level of manifold pressure is boost control (or a spring, or a relief valve) holding boost, and no end of a sensor.
 *
 * @param members logs of one channel with one sensor, looked at together
 * @param ceiling the level that they stand on
 * @param options as `findCeilings` takes them
 * @returns the evidence in words; null where nothing speaks for a limit
 */
export function boostLimitEvidence(
  members: readonly LevelledLog[],
  ceiling: Ceiling,
  options: Parameters<typeof findCeilings>[1] = {},
): string | null {
  const highest = ceiling.value + Math.max(beyondCounts * ceiling.quantum, beyondShare * Math.abs(ceiling.value));
  for (const { log, channel } of members) {
    const above = longestAbove(freshSamples(log, channel).values, highest);
    if (above >= inARow) return `the same channel reads higher elsewhere in ${log.path} (${above} readings in a row)`;
  }
  const others = members.flatMap(({ log, series, setup }) => {
    const [own] = findCeilings(series, options);
    return own === undefined || own.side !== 'upper' ? [] : [{ log, own, setup }];
  });
  // Another setup may well stop lower; the same one that stops at two levels is held there.
  const apart = Math.max(beyondCounts * ceiling.quantum, 0.01 * Math.abs(ceiling.value));
  for (const one of others) {
    const other = others.find(({ own, setup }) => setup === one.setup && Math.abs(own.value - one.own.value) > apart);
    if (other !== undefined) return `in ${one.log.path} it levels off elsewhere than in ${other.log.path}, with the same setup`;
  }
  for (const member of members) {
    if (dutyLives(member, ceiling)) return `the wastegate’s duty moves while pressure stands (${member.log.path})`;
    const target = targetNear(member, ceiling);
    if (target !== null) return `it is the logged target (${target} in ${member.log.path})`;
  }
  return null;
}

function longestAbove(values: Float64Array, level: number): number {
  let longest = 0;
  let now = 0;
  for (const value of values) {
    now = value > level ? now + 1 : 0;
    longest = Math.max(longest, now);
  }
  return longest;
}

/** Readings of another channel while pressure rests on the level. */
function valuesOnLevel({ log, series }: LevelledLog, ceiling: Ceiling, channel: Channel): number[] {
  const { timeS, values } = freshSamples(log, channel);
  const spans = series.flatMap((one) => {
    const on = Array.from(one.values.keys()).filter(
      (i) => Math.abs(one.values[i]! - ceiling.value) <= ceiling.toleranceBelow + 0.1 * ceiling.quantum,
    );
    return on.length < 5 ? [] : [[one.timeS[on[0]!]!, one.timeS[on.at(-1)!]!] as const];
  });
  return Array.from(values).filter((value, i) => Number.isFinite(value) && spans.some(([from, to]) => timeS[i]! > from && timeS[i]! < to));
}

function dutyLives(member: LevelledLog, ceiling: Ceiling): boolean {
  const channel = findChannel(member.log, 'wastegate-duty');
  if (channel === null) return false;
  const duties = valuesOnLevel(member, ceiling, channel).sort((a, b) => a - b);
  if (duties.length < 5) return false;
  const at = (p: number): number => duties[Math.floor(p * (duties.length - 1))]!;
  return at(0.9) - at(0.1) > livingDuty && at(0.9) > 0.05 && at(0.1) < 0.95;
}

/** A channel that says target, in a unit of pressure, and stands near the level. */
function targetNear(member: LevelledLog, ceiling: Ceiling): string | null {
  for (const channel of member.log.channels) {
    if (channel.quantity !== null || !targetName.test(channel.name) || findUnit(channel.unit, 'pressure') === null) continue;
    const values = valuesOnLevel(member, ceiling, channel).sort((a, b) => a - b);
    if (values.length < 5) continue;
    const middle = convert(values[values.length >> 1]!, channel.unit, 'Pa');
    if (Math.abs(middle / ceiling.value - 1) < nearTarget) return channel.name;
  }
  return null;
}
