import { findStretches, freshSamples, type Log } from '@pullproof/core';
import type { Sketch } from './messages.js';

const mostPoints = 60;

/** A line through at most 60 of the points, each axis from 0 to 1. */
export function sketchOf(x: ArrayLike<number>, y: ArrayLike<number>, range?: { readonly low: number; readonly high: number }): Sketch {
  const known: number[] = [];
  for (let i = 0; i < y.length; i++) if (Number.isFinite(x[i]!) && Number.isFinite(y[i]!)) known.push(i);
  if (known.length < 2) return [];
  const step = Math.max(1, (known.length - 1) / (mostPoints - 1));
  const chosen: number[] = [];
  for (let at = 0; at <= known.length - 1 + 1e-9; at += step) chosen.push(known[Math.round(at)]!);
  const [low, high] = range === undefined ? extent(known.map((i) => y[i]!)) : [range.low, range.high];
  const first = x[known[0]!]!;
  const width = x[known.at(-1)!]! - first || 1;
  const rounded = (share: number): number => Math.round(1000 * Math.min(1, Math.max(0, share))) / 1000;
  return chosen.map((i) => [rounded((x[i]! - first) / width), rounded((y[i]! - low) / (high - low || 1))]);
}

export function extent(values: readonly number[]): [low: number, high: number] {
  let low = Number.POSITIVE_INFINITY;
  let high = Number.NEGATIVE_INFINITY;
  for (const value of values) {
    if (value < low) low = value;
    if (value > high) high = value;
  }
  return [low, high];
}

/** The pulls of a log drawn small: engine speed along each, from standstill to the highest of them. */
export function pullSketches(log: Log): Sketch[] {
  const { pulls, signals } = findStretches(log);
  const { channel } = signals.engine ?? signals.road ?? { channel: null };
  if (channel === null) return [];
  const { timeS, values } = freshSamples(log, channel);
  const parts = pulls.map(({ startS, endS }) => {
    const from = timeS.findIndex((t) => t >= startS);
    const to = timeS.findLastIndex((t) => t <= endS) + 1;
    return from < 0 ? [[], []] : [timeS.subarray(from, to), values.subarray(from, to)];
  });
  const high = Math.max(1e-9, ...parts.map(([, y]) => extent(Array.from(y!))[1]).filter(Number.isFinite));
  return parts.map(([x, y]) => sketchOf(x!, y!, { low: 0, high }));
}
