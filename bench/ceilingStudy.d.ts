import type { BoostPull } from '@pullproof/simulation';
import type { CeilingSource } from '../packages/core/src/pulls/logCeilings.js';

export interface CeilingRow {
  readonly logs: number;
  readonly found: number;
  readonly limit: number;
  readonly estimated: number;
  readonly points: number;
  readonly inside: number;
  readonly below: number;
  readonly above: number;
}

export function boostLogText(pulls: readonly BoostPull[], endPa?: number, duty?: boolean): string;
export function ceilingSource(
  text: string,
  pulls: readonly BoostPull[],
  path: string,
  setup: string | null,
  stationPressurePa: number | null,
): CeilingSource;
export function study(logs: number, first?: number): Map<string, CeilingRow>;
export function limitStudy(
  logs: number,
  first?: number,
): {
  readonly logs: number;
  readonly ceiling: number;
  readonly possible: number;
  readonly limit: number;
  readonly ceilingWithDuty: number;
  readonly possibleWithDuty: number;
  readonly limitWithDuty: number;
};
