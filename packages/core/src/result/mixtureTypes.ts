import type { ErrorProvenance, MeasuredErrorTable } from '../fuel/index.js';
import type { Standing } from './standing.js';

/** How long after an injection the exhaust sensor shows it, and how that is known. */
export interface DelayResult {
  readonly standing: Standing;
  readonly fixedS: number;
  /** Part that goes with one over engine speed, at `referenceRpm`. */
  readonly flowS: number;
  readonly referenceRpm: number;
  /** Delay at the reference speed with its range; the range is null where it was entered. */
  readonly delayS: number;
  readonly lowS: number | null;
  readonly highS: number | null;
  readonly reason: string;
}

/** Lambda of a setup's pulls: what was read, how, and with which delay removed. */
export interface MixtureResult {
  readonly delay: DelayResult;
  /** Mean of each sensor less the mean of all, in rows that all were read in; null where there are none. */
  readonly banks: readonly { readonly channel: string; readonly bank: number | null; readonly offset: number | null }[];
  /** Number by which the gauge multiplies lambda. */
  readonly gaugeStoich: number;
  /** Readings in the steady parts of the pulls, delay removed. */
  readonly readings: number;
  /** Where the wanted lambda comes from: a channel's name, the trial, or nowhere. */
  readonly wantedFrom: string | null;
  /** Mean share of ethanol where it was logged. */
  readonly ethanolShare: number | null;
}

/** Lambda of two setups in one cell. */
export interface MixtureCell {
  readonly fromRpm: number;
  readonly toRpm: number;
  /** Null where all pressures are taken together. */
  readonly fromPa: number | null;
  readonly toPa: number | null;
  readonly before: number;
  readonly after: number;
  /** After minus before: positive is leaner. */
  readonly drift: number;
  readonly low: number | null;
  readonly high: number | null;
  readonly readingsBefore: number;
  readonly readingsAfter: number;
}

/** How far the mixture moved between two setups; cells that both visited only. */
export interface MixtureComparison {
  /** By engine speed and manifold pressure; empty where pressure was not logged. */
  readonly cells: readonly MixtureCell[];
  readonly bySpeed: readonly MixtureCell[];
  readonly level: number;
  readonly sentence: string;
}

/** What the rows of the measured error table run along; its columns are engine speed. */
export type FuelAxis = 'pressure' | 'airflow' | 'duty';

/** Measured error of the fuelling of one setup; `table` is null where there is none, and `status` says why. */
export interface FuelTableResult {
  readonly axis: FuelAxis;
  readonly table: MeasuredErrorTable | null;
  readonly provenance: ErrorProvenance;
  readonly status: string | null;
}
