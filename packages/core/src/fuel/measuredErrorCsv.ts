import { csvText } from '../log/index.js';
import type { ErrorCell, MeasuredErrorTable } from './measuredError.js';

/** Where a measured-error table comes from; written into every row. */
export interface ErrorProvenance {
  /** Setup that the readings come from; a column of its own where it is given. */
  readonly setup?: string;
  readonly logs: readonly { readonly path: string; readonly sha256: string }[];
  /** Name of the calibration that was in the car; null when nobody gave one. */
  readonly calibration: string | null;
  /** Number by which the gauge multiplies lambda. */
  readonly gaugeStoich: number;
}

/**
 * The table as comma-separated text: one header row, one row a visited cell, provenance in each row.
 *
 * Numbers stay numbers with a full stop; text that a spreadsheet would take for a formula is led by an apostrophe.
 *
 * @param table from measuredErrorTable
 * @param provenance logs with their hashes, calibration, gauge scale
 * @returns text with CRLF line ends (RFC 4180)
 */
export function measuredErrorCsv(table: MeasuredErrorTable, provenance: ErrorProvenance): string {
  const { rows, columns } = table;
  const edge = (axis: typeof rows, index: number): string => number(axis.edges[index]! / axis.unitSi, 6);
  const percent = (value: number | null): string => number(value === null ? null : 100 * value, 2);
  const kpa = (value: number | null): string => number(value === null ? null : value / 1000, 2);
  const fields: readonly (readonly [string, (cell: ErrorCell) => string])[] = [
    ['table', () => csvText(table.title)],
    ...(provenance.setup === undefined ? [] : [['setup', () => csvText(provenance.setup ?? '')] as const]),
    [`${rows.quantity} from (${rows.unit})`, (cell) => edge(rows, cell.row)],
    [`${rows.quantity} to (${rows.unit})`, (cell) => edge(rows, cell.row + 1)],
    [`${columns.quantity} from (${columns.unit})`, (cell) => edge(columns, cell.column)],
    [`${columns.quantity} to (${columns.unit})`, (cell) => edge(columns, cell.column + 1)],
    ['readings', (cell) => number(cell.count, 0)],
    ['pulls', (cell) => number(cell.pulls, 0)],
    ['first at (s)', (cell) => number(cell.firstTimeS, 3)],
    ['last at (s)', (cell) => number(cell.lastTimeS, 3)],
    ['lambda measured', (cell) => number(cell.lambda, 4)],
    ['lambda commanded', (cell) => number(cell.commandedLambda, 4)],
    ['gauge would show', (cell) => number(cell.lambda * provenance.gaugeStoich, 3)],
    ['measured error (factor)', (cell) => number(cell.factor, 4)],
    [`factor low (${100 * table.level} %)`, (cell) => number(cell.low, 4)],
    [`factor high (${100 * table.level} %)`, (cell) => number(cell.high, 4)],
    ['short-term trim (%)', (cell) => percent(cell.shortTermTrim)],
    ['long-term trim (%)', (cell) => percent(cell.longTermTrim)],
    ['charge temperature (degC)', (cell) => number(cell.chargeTemperatureK === null ? null : cell.chargeTemperatureK - 273.15, 1)],
    ['spark advance (deg)', (cell) => number(cell.sparkAdvanceDeg, 2)],
    ['largest knock retard (deg)', (cell) => number(cell.largestKnockRetardDeg, 2)],
    ['lowest fuel pressure (kPa)', (cell) => kpa(cell.lowestFuelPressurePa)],
    ['largest injector duty (%)', (cell) => percent(cell.largestInjectorDuty)],
    ['delay removed (ms)', (cell) => number(cell.delayS === null ? null : 1000 * cell.delayS, 0)],
    ['trims counted', () => (table.trimsCounted ? 'yes' : 'no')],
    ['gauge scale', () => number(provenance.gaugeStoich, 3)],
    ['calibration', () => csvText(provenance.calibration ?? '')],
    ['log', () => csvText(provenance.logs.map((log) => log.path).join('; '))],
    ['log sha256', () => csvText(provenance.logs.map((log) => log.sha256).join('; '))],
  ];
  const lines = [fields.map(([name]) => csvText(name)), ...table.cells.map((cell) => fields.map(([, show]) => show(cell)))];
  return `${lines.map((line) => line.join(',')).join('\r\n')}\r\n`;
}

/** A number without trailing noughts; empty for null and for what is no number. */
function number(value: number | null, digits: number): string {
  if (value === null || !Number.isFinite(value)) return '';
  const shown = value.toFixed(digits);
  return digits === 0 ? shown : shown.replace(/\.?0+$/, '');
}
