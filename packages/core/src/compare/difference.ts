import { type Contrast, contrastOf, type PreparedPull, type Repeatability, type SetupCurve } from '../power/index.js';
import { type Band, bandOf, type SharedError } from '../uncertainty/index.js';

/** Difference of wheel power of two setups on the engine speeds that both have, with its band. */
export interface PowerDifference {
  readonly engineSpeedRpm: Float64Array;
  readonly beforeW: Float64Array;
  readonly afterW: Float64Array;
  readonly differenceW: Float64Array;
  readonly band: Band;
  readonly contrast: Contrast;
  /** Standard deviations that make up the band, as shares of the power before (median over engine speed), largest first. */
  readonly parts: readonly { readonly name: string; readonly share: number }[];
  /** The variance that each part adds at each point, W². */
  readonly varianceW2: readonly { readonly name: string; readonly variance: Float64Array }[];
  /** True where both setups rest on the same recording and inputs, so that the difference is exactly nothing. */
  readonly identical: boolean;
}

/** Names of the parts of a band that are not inputs. */
export const bandPartNames: { readonly noise: string; readonly pulls: string; readonly outings: string; readonly shape: string } = {
  noise: 'noise of the readings',
  pulls: 'pull-to-pull spread',
  outings: 'luck of the outing',
  shape: 'pulls differing in shape',
};

/**
 * Uncorrected difference of wheel power, after minus before, with a band that holds for the whole curve at once.
 *
 * Errors that both setups share (weight of the car, drag area, gearing) are taken once with their sign, so that they hardly move the
 * difference; noise, repeatability, outing luck and what each run has by itself add.
 *
 * @param before Curve and pulls of the earlier setup.
 * @param after The same of the later one.
 * @param spread Repeatability of the trial.
 * @param options `identical` when both rest on the same recording and inputs; `seed` of the simulation of the band.
 * @returns Null where the curves share fewer than three points.
 */
export function powerDifference(
  before: { readonly curve: SetupCurve; readonly pulls: readonly PreparedPull[] },
  after: { readonly curve: SetupCurve; readonly pulls: readonly PreparedPull[] },
  spread: Repeatability,
  options: { readonly identical?: boolean; readonly seed?: number } = {},
): PowerDifference | null {
  const { identical = false, seed = 1 } = options;
  const place = new Map(Array.from(after.curve.engineSpeedRpm, (rpm, j) => [rpm, j]));
  const beforeAt: number[] = [];
  const afterAt: number[] = [];
  before.curve.engineSpeedRpm.forEach((rpm, i) => {
    const j = place.get(rpm);
    if (j === undefined) return;
    beforeAt.push(i);
    afterAt.push(j);
  });
  const points = beforeAt.length;
  if (points < 3) return null;
  const engineSpeedRpm = Float64Array.from(beforeAt, (i) => before.curve.engineSpeedRpm[i]!);

  const levelsBefore = levelsOnCurve(before);
  const levelsAfter = levelsOnCurve(after);
  const contrast = contrastOf(
    levelsBefore.map(({ outingKey }) => outingKey),
    levelsAfter.map(({ outingKey }) => outingKey),
    spread,
  );
  // The curves are plain means of their pulls; weights that differ move the whole level.
  const shift = (levels: readonly PullOnCurve[], weights: Float64Array): number =>
    levels.reduce((sum, { level }, p) => sum + Math.abs(weights[p]!) * level, 0);
  const beforeFactor = Math.exp(identical ? 0 : shift(levelsBefore, contrast.before));
  const afterFactor = Math.exp(identical ? 0 : shift(levelsAfter, contrast.after));
  const beforeW = Float64Array.from(beforeAt, (i) => before.curve.wheelPowerW[i]! * beforeFactor);
  const afterW = Float64Array.from(afterAt, (j) => after.curve.wheelPowerW[j]! * afterFactor);
  const differenceW = beforeW.map((value, i) => afterW[i]! - value);

  if (identical) {
    const none = { shared: [], covariance: null };
    return {
      engineSpeedRpm,
      beforeW,
      afterW,
      differenceW,
      band: bandOf(none, points, { seed }),
      contrast,
      parts: [],
      varianceW2: [],
      identical,
    };
  }

  const powerW = beforeW.map((value, i) => (value + afterW[i]!) / 2);
  const shared: SharedError[] = [
    {
      name: bandPartNames.pulls,
      shape: powerW.map((value) => value * spread.pullToPull * Math.sqrt(contrast.pullFactor)),
      degrees: spread.pullDegrees,
    },
  ];
  if (contrast.outingFactor > 1e-12) {
    shared.push({
      name: bandPartNames.outings,
      shape: powerW.map((value) => value * spread.outingToOuting * Math.sqrt(contrast.outingFactor)),
      degrees: spread.outingMeasured ? spread.outingDegrees : Number.POSITIVE_INFINITY,
    });
  }
  for (const id of new Set([...before.curve.inputs.keys(), ...after.curve.inputs.keys()])) {
    const a = before.curve.inputs.get(id);
    const b = after.curve.inputs.get(id);
    const shape = Float64Array.from(beforeAt, (i, k) => (b?.effectW[afterAt[k]!] ?? 0) - (a?.effectW[i] ?? 0));
    if (shape.some((value) => value !== 0)) shared.push({ name: (a ?? b)!.name, shape, degrees: Number.POSITIVE_INFINITY });
  }
  const covariance = new Float64Array(points * points);
  const noiseVariance = new Float64Array(points);
  const shapeVariance = new Float64Array(points);
  const sizeBefore = before.curve.engineSpeedRpm.length;
  const sizeAfter = after.curve.engineSpeedRpm.length;
  const sparse = (curve: SetupCurve, i: number, j: number): number => 1 / Math.sqrt(curve.pullCount[i]! * curve.pullCount[j]!);
  for (let i = 0; i < points; i++) {
    for (let j = 0; j < points; j++) {
      const atBefore = beforeAt[i]! * sizeBefore + beforeAt[j]!;
      const atAfter = afterAt[i]! * sizeAfter + afterAt[j]!;
      const scale = powerW[i]! * powerW[j]!;
      const noise = scale * (before.curve.noiseCovariance[atBefore]! + after.curve.noiseCovariance[atAfter]!);
      const shape =
        scale *
        (sparse(before.curve, beforeAt[i]!, beforeAt[j]!) * before.curve.shapeCovariance[atBefore]! +
          sparse(after.curve, afterAt[i]!, afterAt[j]!) * after.curve.shapeCovariance[atAfter]!);
      covariance[i * points + j] = noise + shape;
      if (i === j) {
        noiseVariance[i] = noise;
        shapeVariance[i] = shape;
      }
    }
  }
  const middle = (values: Float64Array): number => Float64Array.from(values).sort()[points >> 1]!;
  const share = (variance: Float64Array): number => middle(variance.map((value, i) => Math.sqrt(value) / beforeW[i]!));
  const byName = new Map<string, Float64Array>([
    [bandPartNames.noise, noiseVariance],
    [bandPartNames.shape, shapeVariance],
  ]);
  for (const { name, shape } of shared) {
    const sum = byName.get(name) ?? new Float64Array(points);
    byName.set(
      name,
      sum.map((value, i) => value + shape[i]! ** 2),
    );
  }
  const parts = [...byName].map(([name, variance]) => ({ name, share: share(variance) })).sort((a, b) => b.share - a.share);
  return {
    engineSpeedRpm,
    beforeW,
    afterW,
    differenceW,
    band: bandOf({ shared, covariance }, points, { seed }),
    contrast,
    parts,
    varianceW2: [...byName].map(([name, variance]) => ({ name, variance })),
    identical,
  };
}

interface PullOnCurve {
  readonly outingKey: string;
  /** Mean of the logarithm of the pull's power over the curve's. */
  readonly level: number;
}

/** The pulls that a curve rests on. One that reaches none of its engine speeds has no part in it. */
function levelsOnCurve({ curve, pulls }: { readonly curve: SetupCurve; readonly pulls: readonly PreparedPull[] }): PullOnCurve[] {
  return pulls.flatMap(({ outingKey }, p) => {
    const level = curve.pullLevels[p]!;
    return Number.isNaN(level) ? [] : [{ outingKey, level }];
  });
}
