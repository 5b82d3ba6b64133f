import { PullproofError } from '../findings/index.js';
import { cellOf, checkEdges } from './lambdaDrift.js';

/** One visited cell of engine speed × load. */
export interface CoverageCell {
  readonly row: number;
  readonly column: number;
  readonly fromRpm: number;
  readonly toRpm: number;
  readonly fromLoad: number;
  readonly toLoad: number;
  /** Time spent in it. */
  readonly seconds: number;
  /** How often it was entered; leaving for less than `gapS` does not count. */
  readonly visits: number;
}

export interface LoadCoverage {
  readonly cells: readonly CoverageCell[];
  /** Cells visited over cells there are, 0–1. */
  readonly share: number;
  /** Time with both quantities known, inside the edges. */
  readonly seconds: number;
  readonly rpmEdges: readonly number[];
  readonly loadEdges: readonly number[];
}

/**
 * Which cells of engine speed × load a log visited, how long and how often.
 *
 * @param timeS time of each row, s, never falling
 * @param engineSpeedRpm NaN where there is none
 * @param load load or manifold pressure, in the unit of `loadEdges`
 * @param options edges of both, and the gap that counts as leaving (default 1 s)
 * @returns visited cells only
 * @throws E_LENGTHS, E_EDGES
 */
export function loadCoverage(
  timeS: Float64Array,
  engineSpeedRpm: Float64Array,
  load: Float64Array,
  options: { readonly rpmEdges: readonly number[]; readonly loadEdges: readonly number[]; readonly gapS?: number },
): LoadCoverage {
  const { rpmEdges, loadEdges, gapS = 1 } = options;
  checkEdges(rpmEdges, 'rpmEdges');
  checkEdges(loadEdges, 'loadEdges');
  if (engineSpeedRpm.length !== timeS.length || load.length !== timeS.length) {
    throw new PullproofError('E_LENGTHS', 'Time, engine speed and load differ in length.', {}, 'Give arrays of one length.');
  }
  const width = loadEdges.length - 1;
  const cells = new Map<number, { seconds: number; visits: number; leftS: number }>();
  let seconds = 0;
  for (let i = 0; i < timeS.length; i++) {
    const row = cellOf(rpmEdges, engineSpeedRpm[i]!);
    const column = cellOf(loadEdges, load[i]!);
    if (row < 0 || column < 0) continue;
    // A row stands for the time until the next one, but never for a gap in the recording.
    const stepS = i + 1 < timeS.length ? Math.min(gapS, timeS[i + 1]! - timeS[i]!) : 0;
    seconds += stepS;
    const cell = cells.get(row * width + column);
    if (cell === undefined) {
      cells.set(row * width + column, { seconds: stepS, visits: 1, leftS: timeS[i]! + stepS });
      continue;
    }
    if (timeS[i]! - cell.leftS > gapS) cell.visits += 1;
    cell.seconds += stepS;
    cell.leftS = timeS[i]! + stepS;
  }
  const out = [...cells].map(([key, cell]): CoverageCell => {
    const row = Math.floor(key / width);
    const column = key % width;
    return {
      row,
      column,
      fromRpm: rpmEdges[row]!,
      toRpm: rpmEdges[row + 1]!,
      fromLoad: loadEdges[column]!,
      toLoad: loadEdges[column + 1]!,
      seconds: cell.seconds,
      visits: cell.visits,
    };
  });
  out.sort((a, b) => a.row - b.row || a.column - b.column);
  return { cells: out, share: out.length / ((rpmEdges.length - 1) * width), seconds, rpmEdges, loadEdges };
}
