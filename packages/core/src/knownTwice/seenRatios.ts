import { findChannel, freshSamples } from '../log/index.js';
import type { LoadedRun } from '../pulls/index.js';
import { joinableGapS, type MotionSignals, type Pull, quantileOf, valueAt } from '../stretches/index.js';

/** Engine speed over road speed as a log shows it, rpm per m/s: one number for each gear that was pulled or cruised in. */
export function seenRatios({ found, inputs }: LoadedRun): { readonly pulls: readonly number[]; readonly all: readonly number[] } {
  const inside = ({ startS, endS }: { readonly startS: number; readonly endS: number }): boolean =>
    startS >= (inputs.fromTimeS ?? Number.NEGATIVE_INFINITY) && endS <= (inputs.toTimeS ?? Number.POSITIVE_INFINITY);
  const of = (list: readonly { readonly startS: number; readonly endS: number; readonly rpmPerMps: number | null }[]): number[] =>
    list.flatMap((stretch) => (inside(stretch) && stretch.rpmPerMps !== null && stretch.rpmPerMps > 0 ? [stretch.rpmPerMps] : []));
  const pulls = gathered(of(found.pulls.filter((pull) => !drifts(found.signals, pull))));
  return { pulls, all: gathered([...pulls, ...of(found.others.filter(({ kind }) => kind === 'cruise'))]) };
}

/** A locked drive keeps its ratio along a pull but for growth and slip of the tires; common practice, no source. */
const mostDrift = 0.018;

/** Whether engine over road speed drifts along a pull: a clutch or a converter slips, or one of the two is late. Then it says nothing of gearing. */
function drifts({ engine, road }: MotionSignals, { spans }: Pull): boolean {
  if (engine === null || road === null) return false;
  const gapS = joinableGapS(road);
  const ratios = spans.flatMap(({ fromS, toS }) =>
    Array.from(engine.timeS.keys()).flatMap((i) => {
      const t = engine.timeS[i]!;
      const speed = t < fromS || t > toS ? Number.NaN : valueAt(road, t, gapS);
      return speed > 3 ? [engine.values[i]! / speed] : [];
    }),
  );
  if (ratios.length < 12) return false;
  const third = Math.floor(ratios.length / 3);
  return Math.abs(Math.log(quantileOf(ratios.slice(0, third), 0.5) / quantileOf(ratios.slice(-third), 0.5))) > mostDrift;
}

/** Ratios within 3 % of each other are one gear. */
function gathered(ratios: readonly number[]): number[] {
  const groups: number[][] = [];
  for (const ratio of ratios.toSorted((a, b) => a - b)) {
    const last = groups.at(-1);
    if (last !== undefined && ratio / last[0]! < 1.03) last.push(ratio);
    else groups.push([ratio]);
  }
  return groups.map((group) => quantileOf(group, 0.5));
}

/** Below this the engine is cold, and idles faster. Common practice, no source. */
const warmK = 333;
const leastReadings = 15;

/** Engine speed with the car standing, foot off the pedal and the engine warm; null where the log does not show it. */
export function standingRpm({ log, found }: LoadedRun): number | null {
  const { engine, road } = found.signals;
  if (engine === null || road === null) return null;
  const asked = findChannel(log, 'pedal') ?? findChannel(log, 'throttle');
  const coolant = findChannel(log, 'coolant-temperature');
  const demand = asked === null ? null : freshSamples(log, asked);
  const heat = coolant === null ? null : freshSamples(log, coolant);
  const rest = demand === null ? 0 : quantileOf(demand.values, 0.02);
  const gapS = joinableGapS(road);
  const rpm = Array.from(engine.timeS.keys()).flatMap((i): number[] => {
    const t = engine.timeS[i]!;
    if (!(engine.values[i]! > 150) || !(valueAt(road, t, gapS) < 0.5)) return [];
    if (demand !== null && valueAt(demand, t, 2) > rest + 0.04) return [];
    if (heat !== null && valueAt(heat, t, 5) < warmK) return [];
    return [engine.values[i]!];
  });
  return rpm.length < leastReadings ? null : quantileOf(rpm, 0.5);
}
