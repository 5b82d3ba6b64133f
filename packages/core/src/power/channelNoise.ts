import type { FollowedSpan } from './followSpan.js';

/** Residual standard deviation of each channel over a setup's pulls, and what follows from the order of the residuals. */
export interface ChannelNoise {
  readonly noiseRpm: Float64Array;
  /** Variance that the curve feels over that of single readings. */
  readonly inflation: Float64Array;
  readonly readings: Float64Array;
  /** Correlation between what pulls are off at the same engine speed: that of each channel, by its share of what the curve follows. */
  readonly repeated: number;
}

/**
 * Noise from the middle of the residuals, so that a few wild readings do not set it.
 *
 * @param from what is known before; a channel of fewer than 8 readings keeps it
 * @param parameters of the common curve, which the readings pay for
 */
export function noiseSeen(spans: readonly FollowedSpan[], from: ChannelNoise, parameters: number): ChannelNoise {
  const noiseRpm = Float64Array.from(from.noiseRpm);
  const inflation = Float64Array.from(from.inflation);
  const readings = noiseRpm.map((_, c) => spans.reduce((sum, { residuals }) => sum + (residuals[c]?.length ?? 0), 0));
  const all = readings.reduce((sum, count) => sum + count, 0);
  const freedom = Math.max(0.3, 1 - parameters / all);
  // Each channel moves the curve by its share of the information, and the variance that repeats in the curve is that share of its own.
  let [repeated, told] = [0, 0];
  for (let c = 0; c < noiseRpm.length; c++) {
    const count = readings[c]!;
    if (count < 8) continue;
    const sizes = new Float64Array(count);
    let next = 0;
    for (const { residuals, trust } of spans) {
      const own = residuals[c];
      if (own === undefined) continue;
      for (let i = 0; i < own.length; i++) sizes[next++] = Math.abs(own[i]!) * Math.sqrt(trust[c]![i]!);
    }
    sizes.sort();
    const most = 3 * sizes[Math.floor(count * 0.683)]!;
    let clipped = 0;
    for (let i = 0; i < count; i++) clipped += Math.min(sizes[i]!, most) ** 2;
    noiseRpm[c] = Math.max(Math.sqrt(clipped / count / freedom), 1e-3);
    const means = runningMeans(spans, c, most);
    inflation[c] = longRunShare(means, { variance: clipped / count, takenBy: parameters / all });
    const information = count / (noiseRpm[c]! ** 2 * inflation[c]!);
    repeated += information * repeatedShare(means);
    told += information;
  }
  return { noiseRpm, inflation, readings, repeated: told === 0 ? 0 : repeated / told };
}

/** Noise is judged by its mean over this time, s: about what the curve can follow. */
const batchS = 0.5;
/** Least share that steps are believed to average out to: where they fall in with the sampling they do not. */
const leastShare = 0.25;

/** Running means of a span's residuals over half a second, each with the engine speed in its middle. */
interface RunningMeans {
  readonly pull: number;
  /** Readings to a mean. */
  readonly length: number;
  readonly mean: Float64Array;
  readonly engineSpeedRpm: Float64Array;
}

/**
 * Residuals of a channel over half a second each, which is about what the curve follows. A straight line over engine speed is taken out
 * first: channels that differ in scale are no noise, and the scale is in the budget; of noise that is independent the fit has taken
 * that line already.
 *
 * @param most Residuals count up to this size.
 */
function runningMeans(spans: readonly FollowedSpan[], channel: number, most: number): RunningMeans[] {
  return spans.flatMap(({ pull, residuals, predictedRpm, trust, path }) => {
    if (residuals[channel] === undefined || residuals[channel].length < 4) return [];
    const sizes = residuals[channel].map((value, i) => Math.min(Math.max(value * Math.sqrt(trust[channel]![i]!), -most), most));
    const own = withoutLine(sizes, predictedRpm[channel]!);
    const durationS = path.timeS[path.timeS.length - 1]! - path.timeS[0]!;
    const length = Math.max(2, Math.min(Math.round((batchS * own.length) / durationS), own.length >> 1));
    const mean = new Float64Array(own.length - length + 1);
    let sum = 0;
    for (let i = 0; i < own.length; i++) {
      sum += own[i]!;
      if (i >= length) sum -= own[i - length]!;
      if (i >= length - 1) mean[i - length + 1] = sum / length;
    }
    const middle = length >> 1;
    return [{ pull, length, mean, engineSpeedRpm: predictedRpm[channel]!.subarray(middle, middle + mean.length) }];
  });
}

/**
 * Variance of the noise as a curve feels it, which follows many readings at once, over that of single readings: 1 for independent
 * errors, more for errors that stay for a while, less for steps that the readings cross at ever other places. From the means of all
 * runs of neighbouring residuals half a second long (overlapping batch means); the fit takes a little out of each, which is put back.
 *
 * @param options `variance` of single residuals; `takenBy`: parameters per reading.
 *
 * Source: overlapping batch means: Meketon & Schmeiser, Proc. Winter Simulation Conf. (1984) 227; equal to a Bartlett window of that length.
 */
function longRunShare(means: readonly RunningMeans[], options: { readonly variance: number; readonly takenBy: number }): number {
  const { variance, takenBy } = options;
  if (!(variance > 0)) return 1;
  let squares = 0;
  let taken = 0;
  let batches = 0;
  for (const { length, mean } of means) {
    for (const value of mean) squares += value * value * length;
    taken += length * takenBy * mean.length;
    batches += mean.length;
  }
  if (batches < 8) return 1;
  return Math.max(leastShare, squares / batches / variance / Math.max(0.3, 1 - taken / batches));
}

/** What is left of values after a straight line over `x`. */
function withoutLine(values: Float64Array, x: Float64Array): Float64Array {
  const count = values.length;
  const meanX = x.reduce((sum, value) => sum + value, 0) / count;
  const mean = values.reduce((sum, value) => sum + value, 0) / count;
  let products = 0;
  let squares = 0;
  for (let i = 0; i < count; i++) {
    products += (x[i]! - meanX) * values[i]!;
    squares += (x[i]! - meanX) ** 2;
  }
  const slope = squares > 0 ? products / squares : 0;
  return values.map((value, i) => value - mean - slope * (x[i]! - meanX));
}

/**
 * Correlation between what pulls are off at the same engine speed: steps that every pull meets at the same places, or a curve that
 * follows none of them. Errors that repeat do not average out over pulls: with the correlation ρ the variance of the mean of n pulls is
 * (1 + (n − 1) ρ) / n of one pull's. It is asked of the same running means that the noise is judged by, because that is the noise which
 * moves the curve: single readings of a stepped channel are off alike wherever they stand on the step, and the curve feels nothing of it.
 *
 * Running means that overlap say the same, so that independent pairs are fewer by their length; what so few pairs show by chance is
 * taken off.
 */
function repeatedShare(means: readonly RunningMeans[]): number {
  let products = 0;
  let squares = 0;
  let pairs = 0;
  for (let s = 0; s < means.length; s++) {
    for (let other = s + 1; other < means.length; other++) {
      const a = means[s]!;
      const b = means[other]!;
      if (b.pull === a.pull || b.mean.length === 0) continue;
      let k = 0;
      for (let i = 1; i < a.mean.length; i++) {
        const speed = a.engineSpeedRpm[i]!;
        while (k + 1 < b.mean.length && Math.abs(b.engineSpeedRpm[k + 1]! - speed) <= Math.abs(b.engineSpeedRpm[k]! - speed)) k++;
        if (Math.abs(b.engineSpeedRpm[k]! - speed) > Math.abs(speed - a.engineSpeedRpm[i - 1]!)) continue;
        products += a.mean[i]! * b.mean[k]!;
        squares += (a.mean[i]! ** 2 + b.mean[k]! ** 2) / 2;
        pairs += 1 / Math.max(a.length, b.length);
      }
    }
  }
  if (pairs < 8 || !(squares > 0)) return 0;
  const raw = Math.min(Math.max(products / squares, 0), 1);
  return raw === 0 ? 0 : raw * Math.max(0, 1 - 4 / (pairs * raw * raw));
}
