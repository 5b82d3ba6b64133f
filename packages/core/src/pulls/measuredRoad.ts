import type { Finding } from '../findings/index.js';
import type { TrialInputs } from '../trial/index.js';
import { stillAssumed, stillTold, withCoastDowns } from './coastDowns.js';
import type { LoadedRun } from './loadedRun.js';
import { type GradedRuns, gradeStillAssumed, gradeStillTold, withRoadGrades } from './roadGrades.js';

/** Runs with what their logs say of road load and road, and what is still assumed beside it. */
export interface MeasuredRoad extends GradedRuns {
  readonly assumptions: TrialInputs['assumptions'];
}

/** Road load from coast-downs where the car asks for it, then the grade from altitude where none was entered. */
export function measuredRoad(
  runs: readonly LoadedRun[],
  trial: Pick<TrialInputs, 'fromCoastDowns' | 'assumptions' | 'findings'>,
  path: string,
): MeasuredRoad {
  const load = withCoastDowns(runs, trial.fromCoastDowns, path);
  const graded = withRoadGrades(load.runs);
  const told: readonly Finding[] = gradeStillTold(stillTold(trial.findings, load.found), graded.runs, path);
  return {
    runs: graded.runs,
    grades: graded.grades,
    findings: [...told, ...load.findings, ...graded.findings],
    assumptions: gradeStillAssumed(stillAssumed(trial.assumptions, load.found), graded.runs),
  };
}
