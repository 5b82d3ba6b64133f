import { PullproofError } from '../findings/index.js';
import { studentTTwoSided } from '../maths/index.js';
import { type CellMean, cellMean, neighbourCorrelation } from './cellMean.js';

/** Steady readings of one setup, delay removed. Arrays of one length. */
export interface LambdaReadings {
  /** Which pull each reading comes from. */
  readonly pull: ArrayLike<number>;
  readonly engineSpeedRpm: Float64Array;
  /** Absolute; NaN leaves the reading out of pressure cells. */
  readonly manifoldPressurePa: Float64Array;
  /** NaN where there is none. */
  readonly lambda: Float64Array;
}

export interface LambdaDriftOptions {
  /** Edges of the cells in engine speed. */
  readonly rpmEdges: readonly number[];
  /** Edges of the cells in manifold pressure; left out, one cell over all of it. */
  readonly pressureEdgesPa?: readonly number[];
  /** Default 0.95. */
  readonly level?: number;
}

/** Lambda of two setups in one cell. */
export interface DriftCell {
  readonly fromRpm: number;
  readonly toRpm: number;
  readonly fromPa: number | null;
  readonly toPa: number | null;
  readonly before: CellMean;
  readonly after: CellMean;
  /** After less before: positive is leaner. */
  readonly drift: number;
  /** Band of the drift; null where a setup has a single reading. */
  readonly low: number | null;
  readonly high: number | null;
}

export interface LambdaDrift {
  /** Only cells that both setups visited. */
  readonly cells: readonly DriftCell[];
  readonly level: number;
  /** Correlation from one reading to the next that the bands count with, of each setup. */
  readonly correlation: readonly [number, number];
  /** Spread between pulls of one setup beyond what readings explain (a standard deviation of lambda); null with single pulls. */
  readonly betweenPulls: readonly [number | null, number | null];
}

/**
 * How far the mixture moved between two setups, by engine speed and manifold pressure.
 *
 * drift = mean after − mean before in each cell; band by Student's t on √(se₁² + se₂²) (Welch), se² = s²/n_e + τ²/pulls with τ² the spread between pulls found over all cells.
 *
 * @param before readings of the earlier setup
 * @param after readings of the later one
 * @param options cell edges and level
 * @returns cells that both visited; a cell that one did not visit has no drift and is not there
 * @throws E_LENGTHS, E_EDGES
 *
 * Validity: one sensor for both setups: its scale error cancels in the drift, its wear between does not.
 *
 * Source: [WELCH1947]; correlation between neighbours as n (1 − ρ)/(1 + ρ).
 */
export function lambdaDrift(before: LambdaReadings, after: LambdaReadings, options: LambdaDriftOptions): LambdaDrift {
  const { rpmEdges, pressureEdgesPa = null, level = 0.95 } = options;
  checkEdges(rpmEdges, 'rpmEdges');
  if (pressureEdgesPa !== null) checkEdges(pressureEdgesPa, 'pressureEdgesPa');
  const first = sortIntoCells(before, rpmEdges, pressureEdgesPa);
  const second = sortIntoCells(after, rpmEdges, pressureEdgesPa);
  const cells: DriftCell[] = [];
  const columns = pressureEdgesPa === null ? 1 : pressureEdgesPa.length - 1;
  for (const [key, a] of first.cells) {
    const b = second.cells.get(key);
    if (b === undefined) continue;
    const row = Math.floor(key / columns);
    const column = key % columns;
    const meanA = cellMean(a.values, a.pulls, first.correlation);
    const meanB = cellMean(b.values, b.pulls, second.correlation);
    const drift = meanB.mean - meanA.mean;
    const half = halfWidth(meanA, meanB, first.betweenPulls ?? 0, second.betweenPulls ?? 0, level);
    cells.push({
      fromRpm: rpmEdges[row]!,
      toRpm: rpmEdges[row + 1]!,
      fromPa: pressureEdgesPa === null ? null : pressureEdgesPa[column]!,
      toPa: pressureEdgesPa === null ? null : pressureEdgesPa[column + 1]!,
      before: meanA,
      after: meanB,
      drift,
      low: half === null ? null : drift - half,
      high: half === null ? null : drift + half,
    });
  }
  cells.sort((a, b) => a.fromRpm - b.fromRpm || (a.fromPa ?? 0) - (b.fromPa ?? 0));
  return {
    cells,
    level,
    correlation: [first.correlation, second.correlation],
    betweenPulls: [first.betweenPulls, second.betweenPulls],
  };
}

function halfWidth(a: CellMean, b: CellMean, pullA: number, pullB: number, level: number): number | null {
  if (a.standardError === null || b.standardError === null) return null;
  const varianceA = a.standardError ** 2 + pullA ** 2 / a.pulls;
  const varianceB = b.standardError ** 2 + pullB ** 2 / b.pulls;
  const variance = varianceA + varianceB;
  if (variance === 0) return 0;
  const degrees = variance ** 2 / (varianceA ** 2 / a.degrees + varianceB ** 2 / b.degrees);
  return studentTTwoSided(level, degrees) * Math.sqrt(variance);
}

interface Cell {
  readonly values: number[];
  readonly pulls: number[];
}

interface Sorted {
  readonly cells: ReadonlyMap<number, Cell>;
  readonly correlation: number;
  readonly betweenPulls: number | null;
}

function sortIntoCells(readings: LambdaReadings, rpmEdges: readonly number[], pressureEdgesPa: readonly number[] | null): Sorted {
  const n = readings.lambda.length;
  if (readings.engineSpeedRpm.length !== n || readings.manifoldPressurePa.length !== n || readings.pull.length !== n) {
    throw new PullproofError(
      'E_LENGTHS',
      'Lambda, engine speed, pressure and pull numbers differ in length.',
      {},
      'Give arrays of one length.',
    );
  }
  const cells = new Map<number, Cell>();
  const keys = new Int32Array(n).fill(-1);
  const columns = pressureEdgesPa === null ? 1 : pressureEdgesPa.length - 1;
  for (let i = 0; i < n; i++) {
    const row = cellOf(rpmEdges, readings.engineSpeedRpm[i]!);
    const column = pressureEdgesPa === null ? 0 : cellOf(pressureEdgesPa, readings.manifoldPressurePa[i]!);
    if (row < 0 || column < 0 || !Number.isFinite(readings.lambda[i]!)) continue;
    const key = row * columns + column;
    keys[i] = key;
    const cell = cells.get(key) ?? { values: [], pulls: [] };
    cell.values.push(readings.lambda[i]!);
    cell.pulls.push(readings.pull[i]!);
    cells.set(key, cell);
  }
  const means = new Map([...cells].map(([key, cell]) => [key, cell.values.reduce((sum, value) => sum + value, 0) / cell.values.length]));
  const residuals: number[] = [];
  const follows: (0 | 1)[] = [];
  for (let i = 0; i < n; i++) {
    residuals.push(keys[i]! < 0 ? 0 : readings.lambda[i]! - means.get(keys[i]!)!);
    follows.push(i > 0 && keys[i]! >= 0 && keys[i] === keys[i - 1] && readings.pull[i] === readings.pull[i - 1] ? 1 : 0);
  }
  const correlation = neighbourCorrelation(residuals, follows, meanSize(cells));
  return { cells, correlation, betweenPulls: spreadBetweenPulls(cells, correlation) };
}

function meanSize(cells: ReadonlyMap<number, Cell>): number {
  let readings = 0;
  for (const cell of cells.values()) readings += cell.values.length;
  return readings / Math.max(1, cells.size);
}

/** Standard deviation between pulls in the same cell beyond what the scatter of readings explains, by analysis of variance over all cells; 0 when there is none, null when no cell has two pulls. */
function spreadBetweenPulls(cells: ReadonlyMap<number, Cell>, correlation: number): number | null {
  let between = 0;
  let betweenDegrees = 0;
  let within = 0;
  let withinDegrees = 0;
  let size = 0;
  for (const cell of cells.values()) {
    const groups = new Map<number, number[]>();
    for (const [i, pull] of cell.pulls.entries()) groups.set(pull, [...(groups.get(pull) ?? []), cell.values[i]!]);
    if (groups.size < 2) continue;
    const n = cell.values.length;
    const mean = cell.values.reduce((sum, value) => sum + value, 0) / n;
    let squaredSizes = 0;
    for (const group of groups.values()) {
      const own = group.reduce((sum, value) => sum + value, 0) / group.length;
      between += group.length * (own - mean) ** 2;
      within += group.reduce((sum, value) => sum + (value - own) ** 2, 0);
      withinDegrees += group.length - 1;
      squaredSizes += group.length ** 2;
    }
    betweenDegrees += groups.size - 1;
    size += n - squaredSizes / n;
  }
  if (betweenDegrees === 0 || withinDegrees === 0) return null;
  // Correlated readings scatter the pulls' means by themselves; only what lies beyond is a spread between pulls.
  const expected = ((within / withinDegrees) * (1 + correlation)) / (1 - correlation);
  const variance = (between - betweenDegrees * expected) / size;
  return Math.sqrt(Math.max(0, variance));
}

/** Index of the cell that a value falls into, edges counted to the cell above them; −1 outside and for NaN. */
export function cellOf(edges: readonly number[], value: number): number {
  const last = edges.length - 1;
  if (!(value >= edges[0]! && value < edges[last]!)) return -1;
  let low = 0;
  let high = last;
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if (edges[middle]! <= value) low = middle;
    else high = middle;
  }
  return low;
}

/** @throws E_EDGES unless there are two or more, rising. */
export function checkEdges(edges: readonly number[], name: string): void {
  if (edges.length >= 2 && edges.every((edge, i) => Number.isFinite(edge) && (i === 0 || edge > edges[i - 1]!))) return;
  throw new PullproofError(
    'E_EDGES',
    `${name} must be two or more rising numbers, not ${edges.join(', ') || 'nothing'}.`,
    {},
    'Give rising cell edges.',
  );
}
