import { lowerBound } from '../maths/index.js';
import type { EngineCoupling } from '../power/index.js';
import { joinableGapS, type MotionSignals, type Pull, quantileOf, valueAt } from '../stretches/index.js';
import { ratioGrowth } from './ratioGrowth.js';

/** Drift of engine over road speed along a pull beyond which the drive is not locked; tyre growth and slip stay below it. */
const leastDrift = 0.025;

/** How far engine speed runs ahead early in a pull against late in it, as a share; null with too few readings. */
function ratioDrift(signals: MotionSignals, pull: Pull): number | null {
  const pairs = pairsOf(signals, pull);
  if (pairs.length < 12) return null;
  const third = Math.floor(pairs.length / 3);
  const ratio = (from: number, to: number): number =>
    quantileOf(
      pairs.slice(from, to).map(({ rpm, mps }) => rpm / mps),
      0.5,
    );
  return ratio(0, third) / ratio(pairs.length - third, pairs.length) - 1;
}

/** Growth of slip along a pull beyond which a drive is not locked, as a share, and in its own standard uncertainties. */
const leastGrowth = { share: 0.025, spreads: 4 };

/**
 * True where a converter without lock-up, or a clutch, slips along the pull. A delay of road speed looks like slip that shrinks, so a
 * locked gearbox is believed up to 6 % of that; slip that grows looks like no delay.
 */
export function driveSlips(
  signals: MotionSignals,
  pull: Pull,
  gearbox: { readonly transmission: string | null; readonly lockUp: boolean | null },
): boolean {
  const drift = ratioDrift(signals, pull);
  if (drift === null) return false;
  const growth = ratioGrowth(signals, pull);
  if (growth !== null && growth.share > Math.max(leastGrowth.share, leastGrowth.spreads * growth.spread)) return true;
  const unlocked = gearbox.transmission === 'automatic' && gearbox.lockUp !== true;
  return drift > (unlocked ? leastDrift : 0.06);
}

/** Engine speed against road speed (times the locked ratio), a parabola through the pull's own readings. */
export function engineCoupling(signals: MotionSignals, pull: Pull, rpmPerMps: number, engineInertiaKgM2: number): EngineCoupling | null {
  const pairs = pairsOf(signals, pull);
  if (pairs.length < 12) return null;
  const middle = quantileOf(
    pairs.map(({ mps }) => mps * rpmPerMps),
    0.5,
  );
  // Least squares on 1, u, u² with u = (x − middle)/1000, by Gram–Schmidt over the readings.
  const u = pairs.map(({ mps }) => (mps * rpmPerMps - middle) / 1000);
  const mean = (values: readonly number[]): number => values.reduce((sum, value) => sum + value, 0) / values.length;
  const m1 = mean(u);
  const v1 = mean(u.map((x) => (x - m1) ** 2));
  const third = mean(u.map((x) => (x - m1) ** 3));
  const q = u.map((x) => (x - m1) ** 2 - v1 - (third / v1) * (x - m1));
  const n = pairs.map(({ rpm }) => rpm);
  const c0 = mean(n);
  const c1 = mean(n.map((rpm, i) => rpm * (u[i]! - m1))) / v1;
  const c2 = mean(n.map((rpm, i) => rpm * q[i]!)) / mean(q.map((value) => value * value));
  const engineRpm = (x: number): number => {
    const d = (x - middle) / 1000 - m1;
    return c0 + c1 * d + c2 * (d * d - v1 - (third / v1) * d);
  };
  const slope = (x: number): number => {
    const d = (x - middle) / 1000 - m1;
    return (c1 + c2 * (2 * d - third / v1)) / 1000;
  };
  const ends = [pairs[0]!, pairs[pairs.length - 1]!].map(({ mps }) => slope(mps * rpmPerMps));
  return ends.every((value) => value > 0.05) ? { engineRpm, slope, engineInertiaKgM2 } : null;
}

function pairsOf({ engine, road }: MotionSignals, pull: Pull): { readonly rpm: number; readonly mps: number }[] {
  if (engine === null || road === null) return [];
  const gapS = joinableGapS(road);
  const pairs: { rpm: number; mps: number }[] = [];
  for (const span of pull.spans) {
    for (let i = lowerBound(engine.timeS, span.fromS); i < engine.timeS.length && engine.timeS[i]! <= span.toS; i++) {
      const mps = valueAt(road, engine.timeS[i]!, gapS);
      if (mps > 3) pairs.push({ rpm: engine.values[i]!, mps });
    }
  }
  return pairs;
}
