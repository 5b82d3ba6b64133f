import { cubicThrough, lowerBound } from '../maths/index.js';

interface Series {
  readonly timeS: Float64Array;
  readonly values: Float64Array;
}

/** Lags that are tried, s: a channel of the car's own may come a little before another, a phone's satellite speed up to a second and a half late. */
const earliestS = -0.3;
const latestS = 1.6;
const stepS = 0.1;
/** A rise of engine speed that says something of the lag. */
const leastRise = 0.15;
const leastDurationS = 1.5;
const leastSpeedMps = 4;
/** Beyond this a ratio is of another gear or a slipping clutch, not of a lag. */
const mostDeviation = 0.08;
const leastReadings = 10;
/** How much likelier than no lag it must be, as a logarithm. */
const sureEnough = 4;

/**
 * By how much a speed channel lags engine speed, s: the lag at which their ratio is steadiest along the rises of engine speed.
 *
 * @returns 0 where the recording does not tell, or tells no lag.
 *
 * Validity: one gear in most rises; a lag that is the same throughout.
 */
export function speedLagS(engine: Series, speed: Series): number {
  const rises = risesOf(engine);
  if (rises.length === 0) return 0;
  const costs: { readonly lagS: number; readonly cost: number; readonly count: number }[] = [];
  for (let lagS = earliestS; lagS <= latestS + 1e-9; lagS += stepS) costs.push({ lagS, ...costAt(engine, speed, rises, lagS) });
  const most = Math.max(...costs.map(({ count }) => count));
  if (most < leastReadings) return 0;
  const usable = costs.filter(({ count }) => count >= 0.6 * most);
  const best = usable.reduce((a, b) => (b.cost < a.cost ? b : a));
  const at = usable.indexOf(best);
  // A least value at an end is none.
  if (at === 0 || at === usable.length - 1) return 0;
  const none = costAt(engine, speed, rises, 0);
  if (!(0.5 * best.count * Math.log(none.cost / best.cost) > sureEnough)) return 0;
  const [before, after] = [usable[at - 1]!, usable[at + 1]!];
  const bend = before.cost - 2 * best.cost + after.cost;
  const lagS = best.lagS + (bend > 0 ? (0.5 * stepS * (before.cost - after.cost)) / bend : 0);
  return Math.round(100 * lagS) / 100;
}

interface Rise {
  readonly from: number;
  readonly to: number;
}

/** Readings over which engine speed only rises, far and long enough. */
function risesOf({ timeS, values }: Series): Rise[] {
  const rises: Rise[] = [];
  let from = 0;
  for (let i = 1; i <= values.length; i++) {
    const goesOn = i < values.length && values[i]! > values[i - 1]! && timeS[i]! - timeS[i - 1]! < 2.5;
    if (goesOn) continue;
    const to = i;
    if (to - from >= 4 && timeS[to - 1]! - timeS[from]! >= leastDurationS && values[to - 1]! > (1 + leastRise) * values[from]!) {
      rises.push({ from, to });
    }
    from = i;
  }
  return rises;
}

/** Mean square of what the ratio's logarithm is off its middle in each rise. */
function costAt(engine: Series, speed: Series, rises: readonly Rise[], lagS: number): { readonly cost: number; readonly count: number } {
  let cost = 0;
  let count = 0;
  for (const rise of rises) {
    const ratios: number[] = [];
    const endS = engine.timeS[rise.to - 1]! + lagS;
    for (let i = lowerBound(speed.timeS, engine.timeS[rise.from]! + lagS); i < speed.timeS.length && speed.timeS[i]! <= endS; i++) {
      if (!(speed.values[i]! >= leastSpeedMps)) continue;
      const rpm = cubicThrough(engine.timeS, engine.values, speed.timeS[i]! - lagS, rise);
      if (rpm > 0) ratios.push(Math.log(rpm / speed.values[i]!));
    }
    if (ratios.length < 3) continue;
    const middle = ratios.toSorted((a, b) => a - b)[ratios.length >> 1]!;
    for (const ratio of ratios) cost += Math.min(Math.abs(ratio - middle), mostDeviation) ** 2;
    count += ratios.length;
  }
  return { cost: count === 0 ? Number.POSITIVE_INFINITY : cost / count, count };
}
