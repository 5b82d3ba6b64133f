import type { Standing } from './standing.js';

/** A number with its spread, unit and standing. `spread` is one standard uncertainty in the same unit. */
export interface StatedValue {
  readonly value: number | null;
  readonly spread: number | null;
  readonly unit: string;
  readonly standing: Standing;
}

/** Lower and upper bounds at each engine speed. */
export interface BandBounds {
  readonly low: readonly (number | null)[];
  readonly high: readonly (number | null)[];
}

/** A quantity against engine speed with its lower and upper bound. Arrays are of one length; null where there is no value. */
export interface CurveResult {
  readonly engineSpeedRpm: readonly number[];
  readonly value: readonly (number | null)[];
  readonly low: readonly (number | null)[];
  readonly high: readonly (number | null)[];
  readonly level: number;
  /** True when the band holds for the whole curve at once, false when at each engine speed by itself. */
  readonly simultaneous: boolean;
  /** Of power and torque: wider bounds, of the same level, that hold for the whole curve at once. */
  readonly wholeCurve?: BandBounds;
  /** `at-least` where samples rest on a sensor's ceiling: then the value is a lower bound. */
  readonly bound: 'at-least' | null;
  /** Which points rest on a ceiling; left out where none does. There `value` is a bound, and the band is open to that side. */
  readonly boundAt?: readonly ('at-least' | 'at-most' | null)[];
  /** Half-widths that make up the band, same length as the axis. */
  readonly parts?: {
    readonly noise: readonly (number | null)[];
    readonly pullToPull: readonly (number | null)[];
    readonly inputs: readonly (number | null)[];
  };
  /** Present when there is no curve: why. */
  readonly status?: string;
}
