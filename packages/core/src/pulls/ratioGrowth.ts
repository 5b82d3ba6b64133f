import { localPolynomial, lowerBound, upperBound } from '../maths/index.js';
import type { MotionSignals, Pull } from '../stretches/index.js';

/** How engine speed over road speed changes along a pull beyond what a delay of one of the channels does to it. */
export interface RatioGrowth {
  /** Change of the ratio from the start to the end of the pull, as a share; positive where engine speed runs ahead late. */
  readonly share: number;
  /** One standard uncertainty. */
  readonly spread: number;
  /** By how much road speed lags engine speed, s. */
  readonly delayS: number;
}

/** Fewer readings tell no growth. */
const leastReadings = 12;
/** A pull must gain this share of its engine speed: over less, a delay and a growth look alike. */
const leastRise = 0.3;

/**
 * Growth of slip along one pull: v = n (1 − g u) / κ − τ ṅ / κ by least squares, u from −½ to ½ along the pull's engine speeds. A delay
 * follows the rate of engine speed, which falls along a pull in its own way; what grows along engine speed is slip of clutch, converter or tires.
 *
 * @returns null where road speed is missing, too sparse or the pull too short
 */
export function ratioGrowth({ engine, road }: MotionSignals, pull: Pull): RatioGrowth | null {
  const { fromRpm, toRpm } = pull;
  if (engine === null || road === null || fromRpm === null || toRpm === null || !(toRpm > (1 + leastRise) * fromRpm)) return null;
  const halfWidth = Math.max(0.4, 2.6 * (engine.channel.refreshS?.median ?? 0));
  const rows: { readonly x: readonly [number, number, number]; readonly mps: number }[] = [];
  for (const span of pull.spans) {
    for (let i = lowerBound(road.timeS, span.fromS); i < upperBound(road.timeS, span.toS); i++) {
      const mps = road.values[i]!;
      const here = localPolynomial(engine.timeS, engine.values, road.timeS[i]!, { halfWidth, order: 2 });
      if (here === null || !(mps > 3)) continue;
      rows.push({ x: [here.value, here.slope, here.value * ((here.value - fromRpm) / (toRpm - fromRpm) - 0.5)], mps });
    }
  }
  if (rows.length < leastReadings) return null;
  const first = solve(rows);
  if (first === null) return null;
  const [k, rate, bend] = first.values;
  if (!(k > 0)) return null;
  const residuals = rows.map(({ x, mps }) => mps - x[0] * k - x[1] * rate - x[2] * bend);
  const variance = residuals.reduce((sum, value) => sum + value * value, 0) / (rows.length - 3);
  // Readings that follow each other err alike: what steps and filters leave.
  let alike = 0;
  for (let i = 1; i < residuals.length; i++) alike += residuals[i]! * residuals[i - 1]!;
  const correlation = Math.min(0.95, Math.max(0, alike / (variance * rows.length)));
  const inflation = (1 + correlation) / (1 - correlation);
  return { share: -bend / k, spread: Math.sqrt(variance * inflation * first.bendVariance) / k, delayS: -rate / k };
}

/** Normal equations of three columns, by elimination. */
function solve(
  rows: readonly { readonly x: readonly [number, number, number]; readonly mps: number }[],
): { readonly values: readonly [number, number, number]; readonly bendVariance: number } | null {
  const scale = [0, 1, 2].map((c) => Math.sqrt(rows.reduce((sum, { x }) => sum + x[c as 0 | 1 | 2] ** 2, 0)));
  if (scale.some((value) => !(value > 0))) return null;
  const matrix = [0, 1, 2].map((r) => [
    ...[0, 1, 2].map((c) => rows.reduce((sum, { x }) => sum + (x[r as 0]! * x[c as 0]!) / scale[r]! / scale[c]!, 0)),
    rows.reduce((sum, { x, mps }) => sum + (x[r as 0]! * mps) / scale[r]!, 0),
    r === 2 ? 1 : 0,
  ]);
  for (let r = 0; r < 3; r++) {
    const pivot = matrix[r]![r]!;
    if (!(pivot > 1e-10)) return null;
    for (let below = 0; below < 3; below++) {
      if (below === r) continue;
      const factor = matrix[below]![r]! / pivot;
      for (let c = r; c < 5; c++) matrix[below]![c] = matrix[below]![c]! - factor * matrix[r]![c]!;
    }
  }
  const values = [0, 1, 2].map((r) => matrix[r]![3]! / matrix[r]![r]! / scale[r]!) as unknown as [number, number, number];
  return { values, bendVariance: matrix[2]![4]! / matrix[2]![2]! / scale[2]! ** 2 };
}
