import type { CurveResult, RouteInput, RouteVia } from '../../result/index.js';
import type { SharedError } from '../../uncertainty/index.js';

/** A route that is open: power at the crank with every source of error named, so that what routes share cancels between them. */
export interface OpenRoute {
  readonly via: RouteVia;
  readonly gridRpm: Float64Array;
  /** NaN where there is none. */
  readonly powerW: Float64Array;
  /** Errors, W; those with the same `id` in two routes are one and the same. */
  readonly errors: readonly (SharedError & { readonly id: string })[];
  /** Noise and shape of the pulls, row-major, W²; null where they are in `errors`. */
  readonly covariance: Float64Array | null;
  readonly bounds: readonly ('at-least' | 'at-most' | null)[];
  readonly curve: CurveResult;
  readonly equation: string;
  readonly channels: readonly string[];
  readonly inputs: readonly RouteInput[];
}

/** Index of the largest power. */
export function largestIndex(powerW: Float64Array): number {
  let at = 0;
  powerW.forEach((value, i) => {
    if (Number.isFinite(value) && (!Number.isFinite(powerW[at]!) || value > powerW[at]!)) at = i;
  });
  return at;
}
