import type { CurveResult } from './curveTypes.js';
import type { SupplyInput } from './supplyTypes.js';

/** The three routes to power. */
export type RouteName = 'motion' | 'air' | 'fuel';

/** By what a route goes. */
export type RouteVia = 'wheel power' | 'speed and density' | 'air meter' | 'injectors' | 'fuel flow channel';

/** An input of a route, and what one standard uncertainty of it does to the power at the engine speed of the largest power. */
export interface RouteInput extends SupplyInput {
  readonly contributionW: number | null;
}

/** One route to crank power. */
export interface RouteResult {
  readonly route: RouteName;
  /** Null where the route is closed. */
  readonly via: RouteVia | null;
  /** For people, such as `Air, by manifold pressure and charge temperature`. */
  readonly name: string;
  /** The equation in words and symbols. */
  readonly equation: string;
  /** Crank power against engine speed, W; null where the route is closed. All routes of a setup share one axis. */
  readonly crankPowerW: CurveResult | null;
  /** Null where the route is open; otherwise which channel or field would open it. */
  readonly status: string | null;
  /** Channels of the log that it rests on. */
  readonly channels: readonly string[];
  /** Largest contribution first. */
  readonly inputs: readonly RouteInput[];
}

/** Two routes held against each other. */
export interface RoutePair {
  readonly first: { readonly route: RouteName; readonly via: RouteVia };
  readonly second: { readonly route: RouteName; readonly via: RouteVia };
  /** First over second less 1, against engine speed, with the band of the difference: what both share (lambda, speed) is counted once. */
  readonly ratio: CurveResult;
  readonly agrees: boolean;
  /** Where they disagree beyond their bands; empty where they agree. */
  readonly regions: readonly { readonly fromRpm: number; readonly toRpm: number; readonly meanShare: number }[];
  /** In a sentence with values. */
  readonly sentence: string;
  /** What this kind of disagreement usually means, most usual first; empty where they agree. */
  readonly usuallyMeans: readonly string[];
}

/** Crank power of one setup by every route that is open, side by side. */
export interface RoutesResult {
  readonly routes: readonly RouteResult[];
  readonly pairs: readonly RoutePair[];
  readonly answer: 'agree' | 'disagree' | 'one route only' | 'no route';
  /** The answer in one line. */
  readonly sentence: string;
}
