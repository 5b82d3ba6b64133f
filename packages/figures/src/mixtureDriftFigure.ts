import type { MixtureCell, TrialResult } from '@pullproof/core';
import { axis, baseLayout, engineSpeedAxis, levelTitle } from './baseLayout.js';
import { emptyFigure, type Figure } from './figure.js';
import { bandText, numberText, plotNumber } from './numberText.js';

/**
 * How far lambda moved between two setups in each range of engine speed, with its band: above zero is leaner.
 * @param result the trial's result
 * @param options `comparison`: place of the comparison in the result
 * @returns a figure as plain data; `status` where lambda was not logged in the pulls of both
 */
export function mixtureDriftFigure(result: TrialResult, options: { readonly comparison: number }): Figure {
  const comparison = result.comparisons[options.comparison];
  const mixture = comparison?.mixture ?? null;
  if (comparison === undefined || mixture === null || mixture.bySpeed.length === 0)
    return emptyFigure('Lambda was not logged in the pulls of both setups at the same engine speeds.');
  const cells = mixture.bySpeed;
  const words = { decimals: 3, unit: '', signed: true };
  const text = (cell: MixtureCell): string => bandText(cell.drift, cell.low, cell.high, words);
  const range = (cell: MixtureCell): string => `${numberText(cell.fromRpm, 0)} to ${numberText(cell.toRpm, 0)}`;
  const half = (cell: MixtureCell): number => (cell.high === null ? 0 : cell.high - cell.drift);
  const farthest = Math.max(0.005, ...cells.flatMap(({ drift, low, high }) => [drift, low ?? drift, high ?? drift]).map(Math.abs));
  return {
    data: [
      {
        type: 'scatter',
        mode: 'markers',
        x: cells.map((cell) => (cell.fromRpm + cell.toRpm) / 2),
        y: cells.map((cell) => plotNumber(cell.drift)),
        customdata: cells.map((cell) => `${range(cell)} rpm: ${text(cell)}`),
        hovertemplate: '%{customdata}<extra></extra>',
        marker: { symbol: 'circle', size: 8, color: 'role:difference' },
        error_y: { type: 'data', array: cells.map(half), color: 'role:difference', thickness: 1.6, width: 5 },
        name: 'Drift',
      },
    ],
    layout: baseLayout({
      height: 280,
      hovermode: 'closest',
      xaxis: engineSpeedAxis(),
      yaxis: axis({ tickformat: '+.3f', range: [-1.15 * farthest, 1.15 * farthest] }),
      annotations: [levelTitle('Mixture change in lambda; up is leaner')],
      shapes: [{ type: 'line', xref: 'paper', x0: 0, x1: 1, y0: 0, y1: 0, line: { color: 'role:text', width: 1.2 } }],
    }),
    summary: `Mixture change, ${comparison.after} vs ${comparison.before}. ${mixture.sentence} Each margin holds the true value in ${numberText(mixture.level * 100, 0)} of 100 such trials.`,
    table: {
      columns: ['Engine speed, rpm', 'Before', 'After', 'Change', 'Readings before', 'Readings after'],
      rows: cells.map((cell) => [
        range(cell),
        numberText(cell.before, 3),
        numberText(cell.after, 3),
        text(cell),
        numberText(cell.readingsBefore, 0),
        numberText(cell.readingsAfter, 0),
      ]),
    },
    key: [{ label: 'change and margin', role: 'difference', kind: 'marker', symbol: 'circle' }],
    notes: [],
    status: null,
  };
}
