import type { CoverageResult } from '@pullproof/core';
import { axis, baseLayout, engineSpeedAxis, levelTitle } from './baseLayout.js';
import { displayUnits, shareInPercent, type UnitSystem } from './displayUnits.js';
import { emptyFigure, type Figure } from './figure.js';
import { numberText } from './numberText.js';

/**
 * Which cells of engine speed × load a log visited, and for how long.
 * @param coverage of a checked log; null where engine speed or load is missing
 * @param options `units` for people, metric by default
 * @returns a figure as plain data; cells that were not visited stay empty
 */
export function coverageFigure(coverage: CoverageResult | null, options: { readonly units?: UnitSystem } = {}): Figure {
  if (coverage === null || coverage.cells.length === 0) return emptyFigure('Engine speed, or pressure and load, are not in the log.');
  const pressure = coverage.load === 'manifold-pressure';
  const unit = pressure ? displayUnits[options.units ?? 'metric'].pressure : shareInPercent;
  const shown = (load: number): number => unit.fromSi(load);
  const name = pressure ? `Manifold pressure, ${unit.symbol} absolute` : 'Load, %';
  // Cells are even in SI: 10 kPa are 1.5 psi.
  const decimals = pressure && options.units === 'imperial' ? 1 : 0;
  const middles = (edges: readonly number[]): number[] => edges.slice(1).map((edge, i) => (edge + edges[i]!) / 2);
  const seconds = (row: number, column: number): number | null =>
    coverage.cells.find((cell) => cell.row === row && cell.column === column)?.seconds ?? null;
  const { rpmEdges, loadEdges } = coverage;
  const grid = loadEdges.slice(1).map((_, column) => rpmEdges.slice(1).map((__, row) => seconds(row, column)));
  const text = (value: number | null): string => (value === null ? '' : value < 0.95 ? '<1' : numberText(value, 0));
  const rpmRange = (at: number): string => `${numberText(rpmEdges[at], 0)} to ${numberText(rpmEdges[at + 1], 0)}`;
  const loadRange = (at: number): string =>
    `${numberText(shown(loadEdges[at]!), decimals)} to ${numberText(shown(loadEdges[at + 1]!), decimals)}`;
  const longest = coverage.cells.reduce((most, cell) => (cell.seconds > most.seconds ? cell : most));
  return {
    data: [
      {
        type: 'heatmap',
        x: middles(rpmEdges),
        y: middles(loadEdges).map(shown),
        // Long idles would hide everything else: the shade goes with the root of the time.
        z: grid.map((line) => line.map((value) => (value === null ? null : Math.sqrt(value)))),
        text: grid.map((line) => line.map(text)),
        texttemplate: '%{text}',
        textfont: { size: 13, color: 'role:text' },
        hovertemplate: '%{text} s at %{x} rpm<extra></extra>',
        colorscale: [
          [0, 'role:setup1/0.15'],
          [1, 'role:setup1/0.6'],
        ],
        showscale: false,
        xgap: 2,
        ygap: 2,
        hoverongaps: false,
        name: 'Seconds',
      },
    ],
    layout: baseLayout({
      height: 340,
      hovermode: 'closest',
      xaxis: engineSpeedAxis({ nticks: 7 }),
      yaxis: axis({}),
      annotations: [levelTitle(`${pressure ? `Manifold pressure, ${unit.symbol}` : name}; seconds`)],
    }),
    summary: `Of ${numberText((rpmEdges.length - 1) * (loadEdges.length - 1), 0)} cells of engine speed and load between the ends of what was driven, ${numberText(coverage.cells.length, 0)} were visited (${numberText(100 * coverage.share, 0)} %), in ${numberText(coverage.seconds, 0)} s. Longest, ${numberText(longest.seconds, 0)} s, at ${rpmRange(longest.row)} rpm.`,
    table: {
      columns: ['Engine speed, rpm', name, 'Seconds', 'Visits'],
      rows: coverage.cells.map((cell) => [
        rpmRange(cell.row),
        loadRange(cell.column),
        numberText(cell.seconds, 1),
        numberText(cell.visits, 0),
      ]),
    },
    key: [{ label: 'seconds; empty: not visited', role: 'setup1', kind: 'band' }],
    notes: [],
    status: null,
  };
}
