import type { Log, Quantity } from '@pullproof/core';
import type { UnknownColumn } from './messages.js';
import { extent, sketchOf } from './sketch.js';

/** What a column of such values may be, as a trial file states it: values of a car on a road, common practice, no source. */
const usual: readonly { readonly stated: string; readonly quantity: Quantity; readonly low: number; readonly high: number }[] = [
  { stated: 'engine-speed rpm', quantity: 'engine-speed', low: 400, high: 9500 },
  { stated: 'road-speed km/h', quantity: 'road-speed', low: 20, high: 280 },
  { stated: 'road-speed mph', quantity: 'road-speed', low: 15, high: 180 },
  { stated: 'pedal %', quantity: 'pedal', low: 50, high: 101 },
  { stated: 'throttle %', quantity: 'throttle', low: 50, high: 101 },
  { stated: 'manifold-pressure kPa abs', quantity: 'manifold-pressure', low: 85, high: 320 },
  { stated: 'manifold-pressure psi gauge', quantity: 'manifold-pressure', low: 2, high: 35 },
  { stated: 'lambda lambda', quantity: 'lambda', low: 0.9, high: 2.2 },
  { stated: 'lambda AFR', quantity: 'lambda', low: 13, high: 24 },
  { stated: 'intake-temperature degC', quantity: 'intake-temperature', low: 10, high: 80 },
  { stated: 'intake-temperature degF', quantity: 'intake-temperature', low: 50, high: 180 },
  { stated: 'coolant-temperature degC', quantity: 'coolant-temperature', low: 60, high: 115 },
  { stated: 'coolant-temperature degF', quantity: 'coolant-temperature', low: 140, high: 240 },
  { stated: 'spark-advance deg', quantity: 'spark-advance', low: 12, high: 55 },
  { stated: 'air-mass-flow g/s', quantity: 'air-mass-flow', low: 30, high: 500 },
];

/** Columns that hold numbers and were not recognized, each with its curve and what it could be. */
export function unknownColumns(log: Log): UnknownColumn[] {
  const taken = new Set(log.channels.map(({ quantity }) => quantity));
  return log.channels.flatMap((channel) => {
    if (channel.quantity !== null || channel.missing >= log.rows) return [];
    const [low, high] = extent(Array.from(channel.values).filter(Number.isFinite));
    if (!(high > low)) return [];
    const likely = usual.filter((one) => !taken.has(one.quantity) && high >= one.low && high <= one.high && low > -60);
    return [
      {
        name: channel.name,
        unit: channel.unit,
        low,
        high,
        sketch: sketchOf(log.timeS, channel.values),
        likely: likely.map(({ stated }) => stated),
      },
    ];
  });
}
