import { PullproofError } from '../findings/index.js';
import { normalTwoSided, studentTTwoSided } from '../maths/index.js';
import { cellMean, neighbourCorrelation } from './cellMean.js';
import { cellOf, checkEdges } from './lambdaDrift.js';

/** One axis of the table, chosen by the person: manifold pressure, engine speed, air flow, injector duty, … */
export interface TableAxis {
  /** For people and for the CSV's header. */
  readonly quantity: string;
  /** Unit in which the edges are shown. */
  readonly unit: string;
  /** SI value of one such unit: 1000 for kPa, 1 for rpm, 0.01 for %. */
  readonly unitSi: number;
  /** SI, one a reading. */
  readonly values: Float64Array;
  /** SI, rising. */
  readonly edges: readonly number[];
}

/** Readings for the table, delay removed from lambda. Arrays of one length; null or left out where it was not logged, NaN where a row brings nothing. */
export interface ErrorReadings {
  readonly timeS: Float64Array;
  /** Which pull or stretch a row comes from. */
  readonly pull: ArrayLike<number>;
  /** 1 where the mixture was steady, see steadyRows. */
  readonly steady: ArrayLike<number>;
  readonly lambda: Float64Array;
  readonly commandedLambda: Float64Array;
  readonly shortTermTrim?: Float64Array | null;
  readonly longTermTrim?: Float64Array | null;
  readonly chargeTemperatureK?: Float64Array | null;
  readonly sparkAdvanceDeg?: Float64Array | null;
  readonly knockRetardDeg?: Float64Array | null;
  readonly fuelPressurePa?: Float64Array | null;
  readonly injectorDuty?: Float64Array | null;
  /** The delay that was removed, s. */
  readonly delayS?: Float64Array | null;
}

export interface MeasuredErrorOptions {
  /** Default 0.95. */
  readonly level?: number;
  /** One standard uncertainty of the lambda sensor as a share, the same in every cell. Default 0.01, assumed (common practice, no source). */
  readonly sensorSpread?: number;
  /** Fewer readings than this give no value. Default 3. */
  readonly leastReadings?: number;
}

export interface ErrorCell {
  readonly row: number;
  readonly column: number;
  readonly count: number;
  readonly pulls: number;
  readonly firstTimeS: number;
  readonly lastTimeS: number;
  readonly lambda: number;
  readonly commandedLambda: number;
  /** Fuel needed over fuel commanded: above 1 asks for more. */
  readonly factor: number;
  /** Standard error from the readings alone. */
  readonly factorSpread: number;
  /** Band with the sensor's own uncertainty. */
  readonly low: number;
  readonly high: number;
  readonly shortTermTrim: number | null;
  readonly longTermTrim: number | null;
  readonly chargeTemperatureK: number | null;
  readonly sparkAdvanceDeg: number | null;
  readonly largestKnockRetardDeg: number | null;
  readonly lowestFuelPressurePa: number | null;
  readonly largestInjectorDuty: number | null;
  readonly delayS: number | null;
}

export interface MeasuredErrorTable {
  readonly title: 'measured error';
  readonly rows: Omit<TableAxis, 'values'>;
  readonly columns: Omit<TableAxis, 'values'>;
  /** Visited cells only, by row and column. */
  readonly cells: readonly ErrorCell[];
  readonly level: number;
  readonly sensorSpread: number;
  /** True when fuel trims were logged and counted. */
  readonly trimsCounted: boolean;
  /** Steady rows with lambda that could not be used, by reason. */
  readonly leftOut: { readonly outside: number; readonly noCommand: number; readonly noTrim: number; readonly tooFew: number };
}

/**
 * Measured error of the fuelling, cell by cell, for the tuner to act on. It is what was measured, never a table of new values.
 *
 * factor = lambda measured/lambda commanded · (1 + short-term trim)(1 + long-term trim)
 *
 * @param readings steady rows with the exhaust delay removed
 * @param rows axis of the rows
 * @param columns axis of the columns
 * @param options level of the band, the sensor's own spread, least readings
 * @returns visited cells only; a cell that no reading fell into has no value
 * @throws E_LENGTHS, E_EDGES
 *
 * Validity: an exhaust leak or a misfire reads lean: do not add fuel on one. Within a cell the error is taken as constant.
 *
 * Source: FORMULAS §6.2.
 *
 * Uncertainty: Student's t on the cell's readings, correlation between neighbours counted, with the sensor's spread (common to all cells) added in squares.
 */
export function measuredErrorTable(
  readings: ErrorReadings,
  rows: TableAxis,
  columns: TableAxis,
  options: MeasuredErrorOptions = {},
): MeasuredErrorTable {
  const { level = 0.95, sensorSpread = 0.01, leastReadings = 3 } = options;
  checkEdges(rows.edges, rows.quantity);
  checkEdges(columns.edges, columns.quantity);
  checkLengths(readings, rows, columns);
  const trims = [readings.shortTermTrim, readings.longTermTrim].filter(hasReadings);
  const trimsCounted = trims.length > 0;
  const leftOut = { outside: 0, noCommand: 0, noTrim: 0, tooFew: 0 };
  const cells = new Map<number, number[]>();
  const factors = new Float64Array(readings.lambda.length).fill(Number.NaN);
  const keys = new Int32Array(readings.lambda.length).fill(-1);
  for (let i = 0; i < readings.lambda.length; i++) {
    if (readings.steady[i] !== 1 || !Number.isFinite(readings.lambda[i]!)) continue;
    const row = cellOf(rows.edges, rows.values[i]!);
    const column = cellOf(columns.edges, columns.values[i]!);
    // A trim that was not logged at all is none; one that is missing in this row makes the factor NaN.
    let trim = 1;
    for (const values of trims) trim *= 1 + values[i]!;
    const factor = (readings.lambda[i]! / readings.commandedLambda[i]!) * trim;
    if (row < 0 || column < 0) leftOut.outside += 1;
    else if (!(readings.commandedLambda[i]! > 0)) leftOut.noCommand += 1;
    else if (!Number.isFinite(factor)) leftOut.noTrim += 1;
    else {
      const key = row * (columns.edges.length - 1) + column;
      keys[i] = key;
      factors[i] = factor;
      const members = cells.get(key);
      if (members === undefined) cells.set(key, [i]);
      else members.push(i);
    }
  }
  const correlation = correlationOf(readings, factors, keys, cells);
  const out: ErrorCell[] = [];
  for (const [key, members] of cells) {
    if (members.length < leastReadings) {
      leftOut.tooFew += members.length;
      continue;
    }
    const width = columns.edges.length - 1;
    out.push(cellOfMembers(readings, factors, members, Math.floor(key / width), key % width, { level, sensorSpread, correlation }));
  }
  out.sort((a, b) => a.row - b.row || a.column - b.column);
  const axis = ({ quantity, unit, unitSi, edges }: TableAxis): Omit<TableAxis, 'values'> => ({ quantity, unit, unitSi, edges });
  return { title: 'measured error', rows: axis(rows), columns: axis(columns), cells: out, level, sensorSpread, trimsCounted, leftOut };
}

function cellOfMembers(
  readings: ErrorReadings,
  factors: Float64Array,
  members: readonly number[],
  row: number,
  column: number,
  how: { readonly level: number; readonly sensorSpread: number; readonly correlation: number },
): ErrorCell {
  const factor = cellMean(
    members.map((i) => factors[i]!),
    members.map((i) => readings.pull[i]!),
    how.correlation,
  );
  const factorSpread = factor.standardError ?? 0;
  const half = Math.hypot(
    studentTTwoSided(how.level, factor.degrees) * factorSpread,
    normalTwoSided(how.level) * how.sensorSpread * factor.mean,
  );
  const mean = (values: Float64Array | null | undefined): number | null => summary(values, members, (a, b) => a + b, true);
  return {
    row,
    column,
    count: factor.count,
    pulls: factor.pulls,
    firstTimeS: Math.min(...members.map((i) => readings.timeS[i]!)),
    lastTimeS: Math.max(...members.map((i) => readings.timeS[i]!)),
    lambda: mean(readings.lambda)!,
    commandedLambda: mean(readings.commandedLambda)!,
    factor: factor.mean,
    factorSpread,
    low: factor.mean - half,
    high: factor.mean + half,
    shortTermTrim: mean(readings.shortTermTrim),
    longTermTrim: mean(readings.longTermTrim),
    chargeTemperatureK: mean(readings.chargeTemperatureK),
    sparkAdvanceDeg: mean(readings.sparkAdvanceDeg),
    largestKnockRetardDeg: summary(readings.knockRetardDeg?.map(Math.abs), members, Math.max),
    lowestFuelPressurePa: summary(readings.fuelPressurePa, members, Math.min),
    largestInjectorDuty: summary(readings.injectorDuty, members, Math.max),
    delayS: mean(readings.delayS),
  };
}

function summary(
  values: Float64Array | null | undefined,
  members: readonly number[],
  join: (a: number, b: number) => number,
  divide = false,
): number | null {
  if (!values) return null;
  const read = members.map((i) => values[i]!).filter((value) => Number.isFinite(value));
  if (read.length === 0) return null;
  const joined = read.reduce((a, b) => join(a, b));
  return divide ? joined / read.length : joined;
}

function correlationOf(
  readings: ErrorReadings,
  factors: Float64Array,
  keys: Int32Array,
  cells: ReadonlyMap<number, readonly number[]>,
): number {
  const means = new Map([...cells].map(([key, members]) => [key, members.reduce((sum, i) => sum + factors[i]!, 0) / members.length]));
  const residuals: number[] = [];
  const follows: (0 | 1)[] = [];
  for (let i = 0; i < factors.length; i++) {
    residuals.push(keys[i]! < 0 ? 0 : factors[i]! - means.get(keys[i]!)!);
    follows.push(i > 0 && keys[i]! >= 0 && keys[i] === keys[i - 1] && readings.pull[i] === readings.pull[i - 1] ? 1 : 0);
  }
  const used = [...cells.values()].reduce((sum, members) => sum + members.length, 0);
  return neighbourCorrelation(residuals, follows, used / Math.max(1, cells.size));
}

function hasReadings(values: Float64Array | null | undefined): values is Float64Array {
  return values?.some((value) => Number.isFinite(value)) ?? false;
}

function checkLengths(readings: ErrorReadings, rows: TableAxis, columns: TableAxis): void {
  const n = readings.timeS.length;
  const optional = [
    readings.shortTermTrim,
    readings.longTermTrim,
    readings.chargeTemperatureK,
    readings.sparkAdvanceDeg,
    readings.knockRetardDeg,
    readings.fuelPressurePa,
    readings.injectorDuty,
    readings.delayS,
  ];
  const all = [readings.pull, readings.steady, readings.lambda, readings.commandedLambda, rows.values, columns.values, ...optional];
  if (all.every((one) => one === null || one === undefined || one.length === n)) return;
  throw new PullproofError('E_LENGTHS', 'The readings of the table differ in length.', {}, 'Give arrays of one length.');
}

/** Cells of one axis; a real engine at the steps in use visits a third of that. */
const mostCells = 100;

/**
 * Edges of equal steps that cover what was read. Where that would take more than 100 cells, a broken reading lies far off: the cells are those around the median,
 * and what lies outside is in no cell.
 *
 * @param values SI; NaN is passed over
 * @param step SI, above zero
 * @returns rising multiples of the step; empty when nothing was read, or when the readings are too large for the step to tell them apart
 */
export function evenEdges(values: Float64Array, step: number): number[] {
  const known = values.filter(Number.isFinite).sort();
  if (known.length === 0 || !(step > 0)) return [];
  const cellAt = (value: number): number => Math.floor(value / step);
  const middle = cellAt(known[known.length >> 1]!);
  let first = cellAt(known[0]!);
  let last = cellAt(known[known.length - 1]!);
  if (last - first >= mostCells) {
    first = Math.max(first, middle - mostCells / 2);
    last = Math.min(last, first + mostCells - 1);
  }
  const edges = Array.from({ length: last - first + 2 }, (_, i) => (first + i) * step);
  return edges.every((edge, i) => i === 0 || edge > edges[i - 1]!) ? edges : [];
}
