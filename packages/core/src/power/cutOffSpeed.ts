import { lowerBound } from '../maths/index.js';
import type { MotionSignals, Readings } from '../stretches/index.js';

/** Steps finer than this, m/s, are not asked whether they are cut off: half of one is too little to matter. */
const coarseStepMps = 0.1;
/** Steady enough for a lag not to count: engine speed within this share, for a second before and after. */
const steadyShare = 0.02;
const leastSpeedMps = 8;
/** An engine slower than this may be idling in neutral. */
const leastRpm = 1200;
/** Ratios further apart than this are of different gears; slower than `leastSpeedMps` half a step would look like one. */
const gearGap = 0.05;
const leastPoints = 6;
/** Least spread of speed in a gear, fastest over slowest. */
const leastRange = 1.4;
/** However well the readings speak for one, the other keeps this share. */
const leastShare = 0.02;

/**
 * How likely it is that whole steps of road speed are cut off rather than rounded: cut off, it reads half a step low at every speed, which a gear
 * ratio cannot do. Asked of steady driving at different speeds in one gear, where no lag counts; in a pull half a step and a lag look alike.
 *
 * @returns Between 0.02 and 0.98; 0.5 where the recording does not tell; 0 where the steps are too fine to matter.
 *
 * Validity: drives locked while steady. Source: odds of two simple hypotheses (Bayes factor) on the intercept of a straight line, normal errors.
 */
export function cutOffShare({ engine, road }: SpeedSignals): number {
  if (engine === null || road === null || !(road.channel.quantum > coarseStepMps)) return 0;
  const step = road.channel.quantum;
  let precision = 0;
  let sum = 0;
  for (const points of byGear(steadyPoints(engine, road))) {
    const line = interceptOf(points, step);
    if (line === null) continue;
    precision += 1 / line.variance;
    sum += line.intercept / line.variance;
  }
  if (precision === 0) return 0.5;
  const intercept = sum / precision;
  const logOdds = (-((intercept + step / 2) ** 2) + intercept ** 2) * 0.5 * precision;
  return Math.min(Math.max(1 / (1 + Math.exp(-logOdds)), leastShare), 1 - leastShare);
}

type SpeedSignals = Pick<MotionSignals, 'engine' | 'road'>;

interface SteadyPoint {
  readonly rpm: number;
  readonly speedMps: number;
}

/** Means over runs of one reading of road speed while engine speed hardly changes; readings that repeat say the same thing once. */
function steadyPoints(engine: Readings, road: Readings): SteadyPoint[] {
  const points: SteadyPoint[] = [];
  const halfWidth = Math.max(1, 2.2 * (engine.channel.refreshS?.median ?? 0));
  let run: number[] = [];
  let speed = Number.NaN;
  const close = (): void => {
    if (run.length > 0) points.push({ rpm: run.reduce((a, b) => a + b, 0) / run.length, speedMps: speed });
    run = [];
  };
  road.values.forEach((value, i) => {
    if (value !== speed) close();
    speed = value;
    if (!(value >= leastSpeedMps)) return;
    const rpm = steadyRpm(engine, road.timeS[i]!, halfWidth);
    if (rpm !== null) run.push(rpm);
    else close();
  });
  close();
  return points;
}

/** Mean engine speed around a time where it hardly moves; null elsewhere. At the peak between a pull and a lift it moves, though its slope is none. */
function steadyRpm({ timeS, values }: Readings, atS: number, halfWidthS: number): number | null {
  let [sum, count, least, most] = [0, 0, Number.POSITIVE_INFINITY, 0];
  for (let i = lowerBound(timeS, atS - halfWidthS); i < timeS.length && timeS[i]! <= atS + halfWidthS; i++) {
    sum += values[i]!;
    count++;
    least = Math.min(least, values[i]!);
    most = Math.max(most, values[i]!);
  }
  return count >= 3 && least >= leastRpm && most - least <= steadyShare * most ? sum / count : null;
}

function byGear(points: readonly SteadyPoint[]): SteadyPoint[][] {
  const groups: SteadyPoint[][] = [];
  let last = 0;
  for (const point of points.toSorted((a, b) => ratioOf(a) - ratioOf(b))) {
    const ratio = ratioOf(point);
    if (groups.length === 0 || ratio > (1 + gearGap) * last) groups.push([]);
    groups.at(-1)!.push(point);
    last = ratio;
  }
  // A chain of ratios is a slipping drive.
  return groups.filter((group) => ratioOf(group.at(-1)!) <= (1 + 1.5 * gearGap) * ratioOf(group[0]!));
}

function ratioOf({ rpm, speedMps }: SteadyPoint): number {
  return rpm / speedMps;
}

/** Where the line of speed over engine speed starts, m/s, with its variance; null where speeds are too few or too alike. */
function interceptOf(points: readonly SteadyPoint[], step: number): { readonly intercept: number; readonly variance: number } | null {
  const speeds = points.map(({ speedMps }) => speedMps);
  if (points.length < leastPoints || !(Math.max(...speeds) >= leastRange * Math.min(...speeds))) return null;
  const n = points.length;
  const meanRpm = points.reduce((sum, { rpm }) => sum + rpm, 0) / n;
  const meanSpeed = speeds.reduce((sum, speed) => sum + speed, 0) / n;
  let squares = 0;
  let products = 0;
  for (const { rpm, speedMps } of points) {
    squares += (rpm - meanRpm) ** 2;
    products += (rpm - meanRpm) * (speedMps - meanSpeed);
  }
  const slope = products / squares;
  const intercept = meanSpeed - slope * meanRpm;
  let residuals = 0;
  for (const { rpm, speedMps } of points) residuals += (speedMps - intercept - slope * rpm) ** 2;
  const noise = Math.max(residuals / (n - 2), step ** 2 / 12);
  return { intercept, variance: noise * (1 / n + meanRpm ** 2 / squares) };
}
