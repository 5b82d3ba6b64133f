import type { CurveResult, StatedValue } from './curveTypes.js';
import type { Standing } from './standing.js';

/** A number with its 95 % band, unit and standing. */
export interface BandedValue {
  readonly value: number | null;
  readonly low: number | null;
  readonly high: number | null;
  readonly unit: string;
  readonly standing: Standing;
}

/** An input of the fuel supply or of a route to power, with one standard uncertainty. */
export interface SupplyInput extends StatedValue {
  /** For people, such as `dead time of the injectors`. */
  readonly name: string;
  /** The field or channel that it comes from, or the source of the default. */
  readonly source: string;
}

/** What is left until a share of the time that the injectors are open. */
export interface HeadroomToLimit {
  /** Duty at which the injectors are taken to have run out, 0–1: 0.85 (common practice, no source) or 1 (they never close). */
  readonly limitDuty: number;
  /** How much more air, and fuel with it, until then, as a share of what the engine takes there: 0.2 is a fifth more; below zero where the limit is passed. */
  readonly moreAir: BandedValue;
  /** Wheel power at that engine speed once that much more air flows, power taken to follow air; null without a power curve. */
  readonly wheelPowerW: BandedValue | null;
}

/** Injector headroom at one airflow. */
export interface Headroom {
  readonly at: 'measured' | 'forecast';
  /** What the airflow is, in words. */
  readonly description: string;
  /** Engine speed with the least left. */
  readonly engineSpeedRpm: number;
  readonly duty: BandedValue;
  /** For the forecast: what takes the airflow or the fuel beyond what was measured, as factors; empty for `measured`. */
  readonly factors: readonly { readonly name: string; readonly factor: number; readonly standing: Standing; readonly source: string }[];
  /** For 85 % and for 100 %. */
  readonly limits: readonly HeadroomToLimit[];
  /** In a sentence. */
  readonly sentence: string;
}

/** How far the fuel pressure falls below what it should be along a pull. */
export interface FuelPressureSag {
  readonly channel: string;
  /** What should stay the same: pressure across the injector (a rail that follows the manifold), or that of the rail. */
  readonly steady: 'pressure across the injector' | 'rail pressure';
  /** How it is known what the rail does. */
  readonly railStanding: Standing;
  /** What the pressure was expected to be, Pa: the median at the start of the pulls. */
  readonly expectedPa: BandedValue;
  /** Fuel pressure less what it should be against engine speed, Pa; mean of the pulls with its band. */
  readonly shortfallPa: CurveResult;
  /** Change of the shortfall for 1,000 rpm more, Pa, over the upper half of the pulls; below zero where it falls. */
  readonly slopePaPerKrpm: BandedValue;
  /** At the top of the pulls, as a share of what was expected; below zero where it fell. */
  readonly atTop: BandedValue;
  /** What that does to the flow of the injectors, as a share. */
  readonly flowAtTop: BandedValue;
  readonly verdict: 'falls' | 'holds' | 'cannot tell';
  readonly sentence: string;
}

/** Fuel supply of one setup over its pulls. */
export interface FuelSupplyResult {
  /** The headroom in one line; or why nothing can be said of it. */
  readonly sentence: string;
  /** Null where duty is known; otherwise which channel would tell. */
  readonly status: string | null;
  /** Injector duty against engine speed, 0–1; null without duty or pulse width. */
  readonly duty: {
    readonly from: 'logged duty' | 'pulse width and engine speed';
    readonly channel: string;
    readonly curve: CurveResult;
    /** Share of the time that is dead: open by the pulse, but not yet flowing. Same axis as the curve. */
    readonly deadShare: readonly (number | null)[];
    readonly highest: BandedValue;
    readonly highestAtRpm: number;
  } | null;
  /** Pressure across the injectors against engine speed, Pa. */
  readonly pressureAcross: {
    readonly from: 'logged fuel pressure' | 'referenced rail' | 'fixed rail';
    /** What was subtracted, or held constant, in words. */
    readonly how: string;
    readonly curve: CurveResult;
  } | null;
  /** Fuel of all injectors, kg/s, mean of the pulls with its band. */
  readonly fuelFlowKgPerS: {
    readonly from: 'injectors' | 'fuel flow channel';
    readonly curve: CurveResult;
  } | null;
  /** Fuel flow along each pull, kg/s, in the order of the setup's pulls that were used. */
  readonly pulls: readonly {
    readonly log: string;
    readonly startS: number;
    readonly engineSpeedRpm: readonly number[];
    readonly fuelFlowKgPerS: readonly (number | null)[];
    readonly duty: readonly (number | null)[];
  }[];
  /** As measured and as forecast; empty without duty. */
  readonly headroom: readonly Headroom[];
  /** Null without a fuel-pressure channel that can be judged; `sagStatus` says why. */
  readonly sag: FuelPressureSag | null;
  readonly sagStatus: string | null;
  readonly inputs: readonly SupplyInput[];
}
