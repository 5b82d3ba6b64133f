import { type BSplineBasis, bSplineValues } from '../maths/index.js';
import type { SharedError } from '../uncertainty/index.js';
import { inputEffects, type PullConditions } from './conditions.js';
import { covers, gridOf, levelsOf, pullRange, radPerSPerRpm, withoutLevel } from './curveParts.js';
import type { MotionPull } from './motion.js';
import { meanLogTorqueRow, pullLogTorque, type TorqueFit } from './torqueFit.js';

/** A pull ready for the fit: its motion and everything else that is known of it. */
export interface PreparedPull {
  readonly motion: MotionPull;
  readonly conditions: PullConditions;
  /** Pulls with the same key were driven in one outing. */
  readonly outingKey: string;
}

/** Mean curve of a setup's pulls, with everything that its band needs. */
export interface SetupCurve {
  readonly engineSpeedRpm: Float64Array;
  /** Mean over the pulls of wheel power, W. */
  readonly wheelPowerW: Float64Array;
  /**
   * Noise covariance of the logarithm of power on the grid, row-major, without the noise of the whole level as far as pulls have it
   * each by itself: that is in the spread of their levels already.
   */
  readonly noiseCovariance: Float64Array;
  /** Covariance, on the grid, of one pull's own deviation of shape, its level taken out. */
  readonly shapeCovariance: Float64Array;
  /** Noise variance of one pull's level. */
  readonly levelNoiseVariance: number;
  /** Pulls with readings at each point. */
  readonly pullCount: Uint16Array;
  /** Each pull's power over the mean, logarithm. */
  readonly pullLevels: Float64Array;
  /** Each pull's own curve, W; NaN where the pull has no readings. */
  readonly pullPowerW: readonly Float64Array[];
  /** Effects of the inputs on the mean power, W for one standard uncertainty, by name and key. */
  readonly inputs: ReadonlyMap<string, { readonly name: string; readonly effectW: Float64Array }>;
}

/**
 * Mean wheel-power curve of a setup from the torque fit.
 *
 * @param fit From `fitTorque` for these pulls.
 * @param pulls In the order of the fit.
 * @returns The curve on multiples of 50 rpm where at least a third of the pulls have readings.
 */
export function setupCurve(fit: TorqueFit, pulls: readonly PreparedPull[]): SetupCurve {
  const ranges = pulls.map((pull) => pullRange(pull.motion));
  const engineSpeedRpm = gridOf(ranges);
  const points = engineSpeedRpm.length;
  const rows = Array.from(engineSpeedRpm, (rpm) => meanLogTorqueRow(fit, rpm));
  const logTorque = rows.map((row) => row.reduce((sum, value, i) => sum + value * fit.meanParameters[i]!, 0));
  const wheelPowerW = engineSpeedRpm.map((rpm, i) => Math.exp(logTorque[i]!) * rpm * radPerSPerRpm);
  const pullPowerW = pulls.map((_, p) =>
    engineSpeedRpm.map((rpm) => (covers(ranges[p]!, rpm) ? Math.exp(pullLogTorque(fit, p, rpm)) * rpm * radPerSPerRpm : Number.NaN)),
  );
  const pullLevels = levelsOf(pullPowerW, wheelPowerW);
  // Noise of the level that repeats in every pull is not in the spread of their levels.
  const repeats = (pulls.length * fit.repeatedNoise) / (1 + (pulls.length - 1) * fit.repeatedNoise);
  const noise = withoutLevel(projected(rows, fit.meanCovariance, fit.meanParameters.length), points, repeats);
  return {
    engineSpeedRpm,
    wheelPowerW,
    noiseCovariance: noise.covariance,
    shapeCovariance: withoutLevel(shapeOn(fit.ownBasis, fit.smoothness.ownShape, engineSpeedRpm), points, 0).covariance,
    levelNoiseVariance: noise.levelVariance * (1 - repeats) * pulls.length,
    pullCount: Uint16Array.from(engineSpeedRpm, (rpm) => ranges.filter((range) => covers(range, rpm)).length),
    pullLevels,
    pullPowerW,
    inputs: inputsOf(pulls, pullPowerW, engineSpeedRpm),
  };
}

/** R C Rᵀ for sparse rows. */
function projected(rows: readonly Float64Array[], covariance: Float64Array, size: number): Float64Array {
  const points = rows.length;
  const filled = rows.map((row) => Array.from(row.keys()).filter((j) => row[j] !== 0));
  const halves = rows.map((row, i) => {
    const half = new Float64Array(size);
    for (const j of filled[i]!) {
      const weight = row[j]!;
      for (let k = 0; k < size; k++) half[k] = half[k]! + weight * covariance[j * size + k]!;
    }
    return half;
  });
  const out = new Float64Array(points * points);
  for (let i = 0; i < points; i++) {
    for (let j = 0; j <= i; j++) {
      let sum = 0;
      for (const k of filled[j]!) sum += halves[i]![k]! * rows[j]![k]!;
      out[i * points + j] = sum;
      out[j * points + i] = sum;
    }
  }
  return out;
}

/** Covariance on a grid of a cubic spline whose coefficients are independent with one standard deviation. */
export function shapeOn(basis: BSplineBasis, deviation: number, grid: Float64Array): Float64Array {
  const points = grid.length;
  const values = Array.from(grid, (rpm) => {
    const out = new Float64Array(4);
    return { first: bSplineValues(basis, rpm, out), out };
  });
  const variance = deviation ** 2;
  const covariance = new Float64Array(points * points);
  for (let i = 0; i < points; i++) {
    for (let j = 0; j < points; j++) {
      const a = values[i]!;
      const b = values[j]!;
      let sum = 0;
      for (let k = 0; k < 4; k++) {
        const other = a.first + k - b.first;
        if (other >= 0 && other < 4) sum += a.out[k]! * b.out[other]!;
      }
      covariance[i * points + j] = variance * sum;
    }
  }
  return covariance;
}

/** Effects of the inputs on the mean power of the pulls that reach each engine speed. */
export function inputsOf(
  pulls: readonly PreparedPull[],
  pullPowerW: readonly Float64Array[],
  grid: Float64Array,
): Map<string, { name: string; effectW: Float64Array }> {
  const inputs = new Map<string, { name: string; effectW: Float64Array }>();
  grid.forEach((rpm, i) => {
    const present = pulls.filter((_, p) => !Number.isNaN(pullPowerW[p]![i]!));
    for (const pull of present) {
      const powerW = pullPowerW[pulls.indexOf(pull)]![i]!;
      for (const effect of inputEffects(pull.conditions, powerW, rpm / pull.motion.rpmPerMps)) {
        const id = `${effect.name}|${effect.key}`;
        let entry = inputs.get(id);
        if (entry === undefined) {
          entry = { name: effect.name, effectW: new Float64Array(grid.length) };
          inputs.set(id, entry);
        }
        entry.effectW[i] = entry.effectW[i]! + effect.powerW / present.length;
      }
    }
  });
  return inputs;
}

/** The inputs of one curve as errors shared along it. */
export function inputErrors(curve: SetupCurve): SharedError[] {
  return [...curve.inputs.values()].map(({ name, effectW }) => ({ name, shape: effectW, degrees: Number.POSITIVE_INFINITY }));
}
