import type { PullsCurve } from '../../pulls/index.js';
import type { DifferenceCurve } from '../../result/index.js';
import { nullable } from '../../result/index.js';
import type { QuantityCurve } from '../../stretches/index.js';
import { bandOf, type SharedError, wholeCurveDraws } from '../../uncertainty/index.js';

/** Knots of what pulls differ in besides their level lie this far apart. */
const knotRpm = 500;

/**
 * Difference of a logged quantity between two setups, after minus before, with a band that holds for the whole curve at once.
 *
 * Pulls of one setup differ in level (one number a pull) and in shape (what is left, taken as independent over 500 rpm). Both spreads are pooled over both setups, n₁ + n₂ − 2 degrees, and enter with √(1/n₁ + 1/n₂).
 *
 * @param before curve of the earlier setup
 * @param after curve of the later one, on the same engine speeds
 * @param options `common`: standard uncertainty at each point that repeats do not show, such as that of the weather's pressure
 * @returns where a side rests on a ceiling the difference is not claimed; without two pulls of a setup there is a difference but no band, and `status` says so
 */
export function compareCurves(
  before: PullsCurve | null,
  after: PullsCurve | null,
  options: { readonly common?: number } = {},
): DifferenceCurve {
  if (before === null || after === null) return nothing('Not logged in the pulls of both setups.');
  const ceiling = before.bounds.map((bound, i): 0 | 1 => (bound !== null || after.bounds[i] !== null ? 1 : 0));
  const at = Array.from(before.curve.engineSpeedRpm.keys()).filter(
    (i) => !Number.isNaN(before.curve.mean[i]!) && !Number.isNaN(after.curve.mean[i]!),
  );
  if (at.length < 3) return nothing('The pulls of both setups share no engine speeds.');
  const engineSpeedRpm = at.map((i) => before.curve.engineSpeedRpm[i]!);
  const free = at.flatMap((i, k) => (ceiling[i] === 0 ? [k] : []));
  const difference = at.map((i) => after.curve.mean[i]! - before.curve.mean[i]!);
  const half = halfWidths(before.curve, after.curve, at, free, options.common ?? 0);
  const claimed = (k: number): boolean => ceiling[at[k]!] === 0;
  const noBand = half === null ? 'A band needs a second pull of a setup.' : null;
  return {
    engineSpeedRpm,
    before: at.map((i) => nullable(before.curve.mean[i]!)),
    after: at.map((i) => nullable(after.curve.mean[i]!)),
    difference: difference.map((value, k) => (claimed(k) ? nullable(value) : null)),
    low: difference.map((value, k) => (claimed(k) && half !== null ? nullable(value - half[k]!) : null)),
    high: difference.map((value, k) => (claimed(k) && half !== null ? nullable(value + half[k]!) : null)),
    level: 0.95,
    simultaneous: true,
    ceiling: at.map((i) => ceiling[i]!),
    status: free.length === 0 ? 'Every reading rests on a sensor’s ceiling, so how far pressure moved cannot be told.' : noBand,
  };
}

/** Half-widths at the points `at`; null where no setup has two pulls. */
function halfWidths(
  before: QuantityCurve,
  after: QuantityCurve,
  at: readonly number[],
  free: readonly number[],
  common: number,
): Float64Array | null {
  const points = at.length;
  const level = { squares: 0, degrees: 0 };
  const shape = { squares: 0, readings: 0 };
  for (const curve of [before, after]) {
    const pulls = curve.pulls.filter((pull) => free.some((k) => !Number.isNaN(pull[at[k]!]!)));
    if (pulls.length < 2) continue;
    level.degrees += pulls.length - 1;
    for (const pull of pulls) {
      const away = free.map((k) => pull[at[k]!]! - curve.mean[at[k]!]!).filter((value) => !Number.isNaN(value));
      const mean = away.reduce((sum, value) => sum + value, 0) / away.length;
      level.squares += mean ** 2;
      shape.squares += away.reduce((sum, value) => sum + (value - mean) ** 2, 0) / away.length;
      shape.readings += 1;
    }
  }
  if (level.degrees === 0) return null;
  const lost = shape.readings / level.degrees;
  const levelSpread = Math.sqrt(level.squares / level.degrees);
  const shapeSpread = Math.sqrt((shape.squares / shape.readings) * lost);
  // Fewer pulls reach the ends of the curve.
  const pullFactor = Float64Array.from(at, (i) => Math.sqrt(1 / before.count[i]! + 1 / after.count[i]!));
  const shared: SharedError[] = [
    { name: 'pull-to-pull spread', shape: pullFactor.map((factor) => factor * levelSpread), degrees: level.degrees },
  ];
  if (common > 0) shared.push({ name: 'weather', shape: new Float64Array(points).fill(common), degrees: Number.POSITIVE_INFINITY });
  if (shapeSpread > 0) {
    const rpm = at.map((i) => before.engineSpeedRpm[i]!);
    const knots = Array.from({ length: Math.floor((rpm.at(-1)! - rpm[0]!) / knotRpm) + 2 }, (_, k) => rpm[0]! + k * knotRpm);
    for (const knot of knots) {
      const hat = Float64Array.from(rpm, (value, k) => {
        const share = 1 - Math.abs(value - knot) / knotRpm;
        // Neighbouring hats add up to the same variance everywhere.
        return share <= 0 ? 0 : (pullFactor[k]! * shapeSpread * share) / Math.hypot(share, 1 - share);
      });
      if (hat.some((value) => value !== 0)) shared.push({ name: 'pulls differing in shape', shape: hat, degrees: level.degrees });
    }
  }
  return bandOf({ shared, covariance: null }, points, { draws: wholeCurveDraws }).simultaneous;
}

function nothing(status: string): DifferenceCurve {
  return {
    engineSpeedRpm: [],
    before: [],
    after: [],
    difference: [],
    low: [],
    high: [],
    level: 0.95,
    simultaneous: true,
    ceiling: [],
    status,
  };
}
