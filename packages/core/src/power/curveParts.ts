import type { MotionPull } from './motion.js';

/** Distance between points of a curve, rpm. */
const gridStepRpm = 50;

/** Torque referred to engine speed, N·m, times engine speed, rpm, times this is power, W. */
export const radPerSPerRpm: number = Math.PI / 30;

/** A stretch of engine speed. */
export interface RpmRange {
  readonly fromRpm: number;
  readonly toRpm: number;
}

/** Lowest and highest engine speed that a pull's readings reach, from its first channel. */
export function pullRange(motion: MotionPull): RpmRange {
  let fromRpm = Number.POSITIVE_INFINITY;
  let toRpm = Number.NEGATIVE_INFINITY;
  for (const span of motion.spans) {
    for (const value of span[0]!.engineSpeedRpm) {
      const rpm = motion.coupling === undefined ? value : motion.coupling.engineRpm(value);
      fromRpm = Math.min(fromRpm, rpm);
      toRpm = Math.max(toRpm, rpm);
    }
  }
  return { fromRpm, toRpm };
}

/** Whether a range holds an engine speed. */
export function covers(range: RpmRange, rpm: number): boolean {
  return rpm >= range.fromRpm && rpm <= range.toRpm;
}

/** Multiples of 50 rpm that at least a third of the ranges hold. */
export function gridOf(ranges: readonly RpmRange[]): Float64Array {
  const needed = Math.ceil(ranges.length / 3);
  const low = Math.ceil(Math.min(...ranges.map((range) => range.fromRpm)) / gridStepRpm) * gridStepRpm;
  const high = Math.max(...ranges.map((range) => range.toRpm));
  const grid: number[] = [];
  for (let rpm = low; rpm <= high; rpm += gridStepRpm) {
    if (ranges.filter((range) => covers(range, rpm)).length >= needed) grid.push(rpm);
  }
  return Float64Array.from(grid);
}

/** Mean over the points of the logarithm of each pull's power over the mean power; NaN for a pull without points. */
export function levelsOf(pullPowerW: readonly Float64Array[], wheelPowerW: Float64Array): Float64Array {
  return Float64Array.from(pullPowerW, (own) => {
    let sum = 0;
    let count = 0;
    own.forEach((value, i) => {
      if (Number.isNaN(value)) return;
      sum += Math.log(value / wheelPowerW[i]!);
      count++;
    });
    return count === 0 ? Number.NaN : sum / count;
  });
}

/** Takes the mean over the points out of a covariance, but for the share `kept` of its variance. */
export function withoutLevel(
  covariance: Float64Array,
  points: number,
  kept: number,
): { readonly covariance: Float64Array; readonly levelVariance: number } {
  const means = new Float64Array(points);
  for (let i = 0; i < points; i++) {
    for (let j = 0; j < points; j++) means[i] = means[i]! + covariance[i * points + j]! / points;
  }
  const levelVariance = means.reduce((sum, value) => sum + value, 0) / points;
  const out = new Float64Array(points * points);
  for (let i = 0; i < points; i++) {
    for (let j = 0; j < points; j++) {
      out[i * points + j] = covariance[i * points + j]! - means[i]! - means[j]! + (1 + kept) * levelVariance;
    }
  }
  return { covariance: out, levelVariance };
}
