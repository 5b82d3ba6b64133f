import { bSplineBasis } from '../maths/index.js';
import { gridOf, levelsOf, type RpmRange, radPerSPerRpm, withoutLevel } from './curveParts.js';
import type { LocalTorque } from './localTorque.js';
import { inputsOf, type PreparedPull, type SetupCurve, shapeOn } from './setupCurve.js';

/** Knots of what pulls differ in besides their level lie this far apart, as in the torque fit. */
const ownKnotRpm = 800;
/** Torque must be this many of its own standard deviations above zero: nearer to it, only the lucky readings would be left. */
const clearOfNoise = 3;
/** Rounds of taking levels out of the mean and back; each halves what is left at worst. */
const levelRounds = 12;
/** Of a local parabola's slope with tricube weights: bias over (half-width² · second derivative of the slope), μ₄ / 6 μ₂. */
const biasFactor = 0.0526;

/**
 * Mean wheel-power curve of a setup from the slopes that a local polynomial finds along its pulls: what stands in where the torque fit
 * has no solution, and what the fit is held against.
 *
 * Pulls are brought to one level before they are averaged, so that one that ends early does not bend the mean. Its band holds the noise
 * of the slopes, correlated as far as their windows overlap, and, as one more standard uncertainty, what a parabola as wide as the
 * window misses of the curve's bends.
 *
 * @param pulls In the order of `values`.
 * @param values Of each pull, from `localTorque`.
 * @returns Null where fewer than three multiples of 50 rpm lie inside the windows of a third of the pulls.
 *
 * Validity: torque above zero.
 * Source: bias and variance of a local parabola: Fan & Gijbels, Local Polynomial Modelling and Its Applications (1996), ch. 3.
 */
export function localCurve(pulls: readonly PreparedPull[], values: readonly (readonly LocalTorque[])[]): SetupCurve | null {
  const usable = values.map((own) =>
    own.filter(({ torqueNm, noiseNm }) => torqueNm > clearOfNoise * noiseNm).sort((a, b) => a.engineSpeedRpm - b.engineSpeedRpm),
  );
  const ranges = usable.map(
    (own): RpmRange =>
      own.length < 2
        ? { fromRpm: Number.POSITIVE_INFINITY, toRpm: Number.NEGATIVE_INFINITY }
        : { fromRpm: own[0]!.engineSpeedRpm, toRpm: own[own.length - 1]!.engineSpeedRpm },
  );
  if (ranges.every(({ fromRpm }) => fromRpm === Number.POSITIVE_INFINITY)) return null;
  const engineSpeedRpm = gridOf(ranges);
  const points = engineSpeedRpm.length;
  if (points < 3) return null;
  const pullCurves = usable.map((own) => Array.from(engineSpeedRpm, (rpm) => valueAt(own, rpm)));
  const meanLog = meanOf(pullCurves.map((own) => own.map((at) => at?.log ?? Number.NaN)));
  const wheelPowerW = engineSpeedRpm.map((rpm, i) => Math.exp(meanLog[i]!) * rpm * radPerSPerRpm);
  const pullPowerW = pullCurves.map((own) =>
    engineSpeedRpm.map((rpm, i) => {
      const at = own[i]!;
      return at === null ? Number.NaN : Math.exp(at.log) * rpm * radPerSPerRpm;
    }),
  );
  const pullCount = Uint16Array.from(engineSpeedRpm, (_, i) => pullCurves.filter((own) => own[i] !== null).length);
  const pullLevels = levelsOf(pullPowerW, wheelPowerW);
  const noise = noiseOf(pullCurves, pullCount);
  const shown = withoutLevel(noise, points, 0);
  const bias = biasOf(pullCurves, meanLog, engineSpeedRpm);
  return {
    engineSpeedRpm,
    wheelPowerW,
    noiseCovariance: shown.covariance.map((value, k) => value + bias[Math.floor(k / points)]! * bias[k % points]!),
    shapeCovariance: shapeCovariance(pullCurves, pullLevels, meanLog, engineSpeedRpm),
    levelNoiseVariance: shown.levelVariance * pulls.length,
    pullCount,
    pullLevels,
    pullPowerW,
    inputs: inputsOf(pulls, pullPowerW, engineSpeedRpm),
  };
}

/** A pull at an engine speed, between its two nearest slopes. */
interface LocalValue {
  readonly log: number;
  /** Standard deviation of `log` from the readings' noise. */
  readonly noise: number;
  readonly timeS: number;
  readonly halfWidthS: number;
  /** Engine speed that half a window spans. */
  readonly halfWidthRpm: number;
}

function valueAt(own: readonly LocalTorque[], rpm: number): LocalValue | null {
  const above = own.findIndex(({ engineSpeedRpm }) => engineSpeedRpm >= rpm);
  if (above < 0 || (above === 0 && own[0]!.engineSpeedRpm > rpm)) return null;
  const b = own[above]!;
  const a = own[Math.max(0, above - 1)]!;
  const u = b === a ? 0 : (rpm - a.engineSpeedRpm) / (b.engineSpeedRpm - a.engineSpeedRpm);
  const between = (first: number, second: number): number => first + u * (second - first);
  return {
    log: between(Math.log(a.torqueNm), Math.log(b.torqueNm)),
    noise: between(a.noiseNm / a.torqueNm, b.noiseNm / b.torqueNm),
    timeS: between(a.timeS, b.timeS),
    halfWidthS: b.halfWidthS,
    halfWidthRpm: b.halfWidthS * Math.abs(b.rateRpmPerS),
  };
}

/** Mean over the pulls at each point, each pull first brought to the mean level of all. */
function meanOf(curves: readonly (readonly number[])[]): Float64Array {
  const points = curves[0]!.length;
  const levels = new Float64Array(curves.length);
  const mean = new Float64Array(points);
  for (let round = 0; round < levelRounds; round++) {
    for (let i = 0; i < points; i++) {
      let sum = 0;
      let count = 0;
      for (const [p, own] of curves.entries()) {
        if (Number.isNaN(own[i]!)) continue;
        sum += own[i]! - levels[p]!;
        count++;
      }
      mean[i] = sum / count;
    }
    const present = curves.flatMap((own, p) => {
      const off = own.flatMap((value, i) => (Number.isNaN(value) ? [] : [value - mean[i]!]));
      return off.length === 0 ? [] : [{ p, level: off.reduce((sum, value) => sum + value, 0) / off.length }];
    });
    const middle = present.reduce((sum, { level }) => sum + level, 0) / present.length;
    for (const { p, level } of present) levels[p] = level - middle;
  }
  return mean;
}

function noiseOf(curves: readonly (readonly (LocalValue | null)[])[], pullCount: Uint16Array): Float64Array {
  const points = pullCount.length;
  const covariance = new Float64Array(points * points);
  for (const own of curves) {
    for (let i = 0; i < points; i++) {
      const a = own[i]!;
      if (a === null) continue;
      for (let j = 0; j <= i; j++) {
        const b = own[j]!;
        if (b === null) continue;
        const value = (a.noise * b.noise * slopeCorrelation(Math.abs(a.timeS - b.timeS) / a.halfWidthS)) / (pullCount[i]! * pullCount[j]!);
        covariance[i * points + j] = covariance[i * points + j]! + value;
        if (i !== j) covariance[j * points + i] = covariance[j * points + i]! + value;
      }
    }
  }
  return covariance;
}

/** What a parabola over the window misses, as a share of torque: from the second difference of the mean over half a window each way. */
function biasOf(curves: readonly (readonly (LocalValue | null)[])[], meanLog: Float64Array, engineSpeedRpm: Float64Array): Float64Array {
  const last = meanLog.length - 1;
  return meanLog.map((_, i) => {
    const widths = curves.flatMap((own) => (own[i] === null || own[i] === undefined ? [] : [own[i].halfWidthRpm]));
    const widthRpm = widths.reduce((sum, value) => sum + value, 0) / widths.length;
    const lag = Math.max(1, Math.min(Math.round(widthRpm / (engineSpeedRpm[1]! - engineSpeedRpm[0]!)), last >> 1));
    const at = Math.min(Math.max(i, lag), last - lag);
    return biasFactor * (meanLog[at + lag]! - 2 * meanLog[at]! + meanLog[at - lag]!);
  });
}

/** What pulls differ in beside level and noise, as smooth as 800-rpm knots. */
function shapeCovariance(
  curves: readonly (readonly (LocalValue | null)[])[],
  levels: Float64Array,
  meanLog: Float64Array,
  engineSpeedRpm: Float64Array,
): Float64Array {
  const points = engineSpeedRpm.length;
  let squares = 0;
  let noise = 0;
  let count = 0;
  for (const [p, own] of curves.entries()) {
    for (const [i, at] of own.entries()) {
      if (at === null) continue;
      squares += (at.log - meanLog[i]! - levels[p]!) ** 2;
      noise += at.noise ** 2;
      count++;
    }
  }
  const pulls = levels.filter((level) => !Number.isNaN(level)).length;
  const variance = pulls < 2 ? 0 : Math.max(0, (squares * pulls) / (pulls - 1) - noise) / count;
  const basis = bSplineBasis(engineSpeedRpm[0]!, engineSpeedRpm[points - 1]!, ownKnotRpm);
  return withoutLevel(shapeOn(basis, Math.sqrt(variance), engineSpeedRpm), points, 0).covariance;
}

/** Correlation of two slopes whose windows lie `lag` half-widths apart: Σ w(x) w(x − lag) / Σ w² with w(x) = x (1 − |x|³)³. */
const slopeCorrelation: (lag: number) => number = (() => {
  const weight = (x: number): number => (Math.abs(x) < 1 ? x * (1 - Math.abs(x) ** 3) ** 3 : 0);
  const sumAt = (lag: number): number => {
    let sum = 0;
    for (let x = -1; x <= 1; x += 0.01) sum += weight(x) * weight(x - lag);
    return sum;
  };
  const steps = 40;
  const table = Float64Array.from({ length: steps + 2 }, (_, k) => sumAt((2 * k) / steps) / sumAt(0));
  return (lag) => {
    if (!(lag < 2)) return 0;
    const place = (lag / 2) * steps;
    const k = Math.floor(place);
    return table[k]! + (place - k) * (table[k + 1]! - table[k]!);
  };
})();
