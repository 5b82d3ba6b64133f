import { alignedPulls, type PullReading } from './alignedPulls.js';
import type { ModelEstimate } from './censoredRegression.js';
import { curvesLikeReference } from './curvesLikeReference.js';
import { drawCurves } from './drawCurves.js';
import { type Ceiling, readingsOnCeiling } from './findCeilings.js';
import { logNormalCdf } from './normalTail.js';

/** Options of {@link beyondCeiling}. */
export interface BeyondCeilingOptions {
  /** Which pull each reading is of; one pull unless given. Pulls that differ in level are brought to their mean first. */
  readonly pulls?: ArrayLike<number>;
  /** What the reference starts from, such as the pressure of the air; 0 unless given. */
  readonly base?: number;
  /** Step of the grid that the curve is worked out on, in the unit of the axis; 100 unless given. */
  readonly step?: number;
  /** Default 0.95. */
  readonly level?: number;
  readonly seed?: number;
}

export interface BeyondCeiling {
  /** One for each point asked for; null where these readings cannot say. */
  readonly estimates: readonly (ModelEstimate | null)[];
  /** For people, to stand beside the numbers. */
  readonly label: string;
}

/** Curves that each of two chains draws. */
const drawsEach = 800;
/** A point counts as free, or as beyond the ceiling, with up to this share of readings that are not. */
const mixedShare = 0.1;
/** A half-width above this share of the value is no answer. */
const widestShare = 0.06;
/** Fewer grid points than this with free readings show no course. */
const leastFreePoints = 5;
/** So many steps of the grid from the next free reading a course is carried. */
const reachSteps = 12;

/**
 * What a curve was above a ceiling, as a model: a curve that goes with the free readings, carries the shape of a reference, and lies at or above the ceiling where readings rest on it.
 *
 * The curve is the reference with a change of the whole, one of what lies above the base and a slope, plus a smooth process that strays from them. Curves are drawn that go with the free readings and with Φ((curve − ceiling)/s)
 * for each point whose readings rest on it; how far a curve may stray is drawn too.
 *
 * @param axis what the quantity runs along, such as engine speed, one value a reading
 * @param values readings; rows with NaN are left out
 * @param ceiling from findCeilings
 * @param at points to estimate at, where readings rest on the ceiling
 * @param reference a curve of the same car that was read free of the ceiling (of another setup or another sensor); NaN where it has none
 * @returns the curve of the pulls' mean with its band, never beyond the ceiling's own side; null where the band is wider than 6 %, the next free reading is more than twelve steps away, or the readings do not go with one curve
 *
 * Validity: two curves of one car whose boost is made in one way. Nothing was read up there, and without a reference nothing is said.
 * Source: Gaussian-process regression, Rasmussen & Williams (2006) ch. 2 (from memory); censored likelihood [TOBIN1958].
 * Uncertainty: docs/boost-and-sensors.md.
 */
export function beyondCeiling(
  axis: Float64Array,
  values: Float64Array,
  ceiling: Ceiling,
  at: readonly number[],
  reference: (axis: number) => number,
  options: BeyondCeilingOptions = {},
): BeyondCeiling {
  const { pulls, base = 0, step = 100, level = 0.95, seed = 1 } = options;
  const sign = ceiling.side === 'upper' ? 1 : -1;
  const on = readingsOnCeiling(values, ceiling);
  const scale = sign * Math.abs(ceiling.value);
  // A reading on the ceiling may have been rounded up to it.
  const limit = (sign * ceiling.value - ceiling.quantum / 2) / Math.abs(scale);
  const rows: PullReading[] = [];
  for (let i = 0; i < values.length; i++) {
    if (!Number.isFinite(values[i]!) || !Number.isFinite(axis[i]!)) continue;
    rows.push({ x: axis[i]!, y: values[i]! / scale, limit, on: on[i] === 1, pull: pulls?.[i] ?? 0 });
  }
  const free = rows.filter((row) => !row.on).length;
  const label = `Model-based estimate (${free} readings below the ceiling, ${rows.length - free} on it, shape of a curve that was free of it): nothing was read up there.`;
  const none: BeyondCeiling = { estimates: at.map(() => null), label };
  const first = Math.min(...at, ...rows.map(({ x }) => x));
  const last = Math.max(...at, ...rows.map(({ x }) => x));
  if (rows.length === 0 || at.length === 0 || !(last - first < 400 * step)) return none;
  const grid = Array.from({ length: Math.floor((last - first) / step) + 2 }, (_, k) => first + k * step);
  // Each reading is moved to its point of the grid along the reference, which may be steep.
  const moved = rows.map((row) => {
    const along = (reference(grid[Math.round((row.x - first) / step)]!) - reference(row.x)) / scale;
    return { ...row, y: row.y + along, limit: row.limit + along };
  });
  const aligned = alignedPulls(moved, first, step);
  // The last point of the grid may lie beyond what the reference covers.
  const shape = grid.map((x) => reference(Math.min(x, last)) / scale);
  if (aligned === null || !shape.every(Number.isFinite)) return none;
  const points = grid.map((x, k) => {
    const here = aligned.rows.filter((row) => Math.round((row.x - first) / step) === k);
    const seen = here.filter((row) => !row.on);
    const share = here.length === 0 ? 0 : 1 - seen.length / here.length;
    // Where some readings are cut off, those that are left are the low ones: such a point says nothing.
    const read = seen.length > 0 && share <= mixedShare;
    return {
      x,
      reference: shape[k]!,
      above: shape[k]! - base / scale,
      mean: read ? seen.reduce((sum, { y }) => sum + y, 0) / seen.length : Number.NaN,
      spread: aligned.spread * Math.sqrt(aligned.inflation / Math.max(1, seen.length)),
      limit: share >= 1 - mixedShare ? here.reduce((sum, row) => sum + row.limit, 0) / here.length : Number.NaN,
      limitSpread: aligned.spread * Math.sqrt(aligned.inflation / Math.max(1, here.length)),
    };
  });
  if (points.filter(({ mean }) => !Number.isNaN(mean)).length < leastFreePoints) return none;
  // The mean of readings that are all cut off lies beyond the ceiling. That none of them fell short of it would say more, if their scatter were known well.
  const likelihood = (curve: Float64Array): number => {
    let sum = 0;
    points.forEach(({ limit, limitSpread }, k) => {
      if (!Number.isNaN(limit)) sum += logNormalCdf((curve[k]! - limit) / limitSpread);
    });
    return sum;
  };
  const reached = (x: number): boolean => points.some((point) => !Number.isNaN(point.mean) && Math.abs(point.x - x) <= reachSteps * step);
  const choices = curvesLikeReference(points);
  const chains = [0, 1].map((chain) => drawCurves(choices, likelihood, { draws: drawsEach, seed: 2 * seed + chain }));
  const estimates = at.map((point): ModelEstimate | null => {
    if (!reached(point)) return null;
    const place = (point - first) / step;
    const k = Math.min(Math.floor(place), grid.length - 2);
    const valuesOf = (curves: readonly Float64Array[]): Float64Array =>
      Float64Array.from(curves, (curve) => curve[k]! + (curve[k + 1]! - curve[k]!) * (place - k)).sort();
    const both = valuesOf(chains.flat());
    const spanOf = (sorted: Float64Array): number => quantile(sorted, 0.84) - quantile(sorted, 0.16);
    const apart = Math.abs(quantile(valuesOf(chains[0]!), 0.5) - quantile(valuesOf(chains[1]!), 0.5));
    // Two chains that tell different tales have not found the curve.
    if (!(apart < 0.5 * spanOf(both) + 1e-4)) return null;
    // The readings there say that the curve lies beyond the ceiling.
    const beyond = (p: number): number => scale * Math.max(quantile(both, p), ceiling.value / scale);
    const [value, a, b] = [beyond(0.5), beyond((1 - level) / 2), beyond((1 + level) / 2)];
    const [low, high] = [Math.min(a, b), Math.max(a, b)];
    return (high - low) / 2 > widestShare * Math.abs(value) ? null : { value, low, high, level, standing: 'model' };
  });
  return { estimates, label };
}

function quantile(sorted: Float64Array, p: number): number {
  const place = p * (sorted.length - 1);
  const i = Math.min(Math.floor(place), sorted.length - 2);
  return sorted[i]! + (sorted[i + 1]! - sorted[i]!) * (place - i);
}
