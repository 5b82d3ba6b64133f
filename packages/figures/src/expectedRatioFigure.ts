import type { TrialResult } from '@pullproof/core';
import { bandTrace } from './bandTraces.js';
import { axis, baseLayout, engineSpeedAxis, levelTitle } from './baseLayout.js';
import { tableSpeeds } from './curveFigure.js';
import { emptyFigure, type Figure, type PlotlyObject } from './figure.js';
import { numberText, plotNumber } from './numberText.js';

/**
 * Pressure ratio before, what the pulley alone should have made of it, and what was seen.
 * @param result the trial's result
 * @param options `comparison`: place of the comparison in the result
 * @returns a figure as plain data; `status` where the drive ratio did not change or is not known
 */
export function expectedRatioFigure(result: TrialResult, options: { readonly comparison: number }): Figure {
  const comparison = result.comparisons[options.comparison];
  const ratio = comparison?.pressure?.expectedRatio ?? null;
  if (comparison === undefined || ratio === null) return emptyFigure('The drive ratio is not known of both setups, or did not change.');
  const line = (values: readonly (number | null)[], role: string, name: string, style: PlotlyObject): PlotlyObject => ({
    type: 'scatter',
    mode: 'lines',
    x: ratio.engineSpeedRpm.map(plotNumber),
    y: values.map(plotNumber),
    hovertemplate: `%{y:.3f}<extra>${name}</extra>`,
    line: { color: `role:${role}`, width: 2.2, ...style },
    connectgaps: false,
    name,
    meta: { label: name },
  });
  return {
    data: [
      bandTrace(ratio.engineSpeedRpm, ratio.low, ratio.high, { role: 'air', hatched: true, name: 'The pulley alone should give' }),
      line(ratio.before, 'muted', 'before', { dash: '4px,3px' }),
      line(ratio.expected, 'air', 'expected', { width: 1.2 }),
      line(ratio.seen, 'difference', 'seen', { width: 2.6 }),
    ],
    layout: baseLayout({
      height: 280,
      xaxis: engineSpeedAxis(),
      yaxis: axis({ tickformat: '.2f' }),
      annotations: [levelTitle('Pressure ratio, manifold over inlet')],
    }),
    summary: `Pressure ratio against engine speed, ${comparison.before} to ${comparison.after}. ${ratio.sentence} The expectation is a model.`,
    table: {
      columns: ['Engine speed, rpm', 'Before', 'Expected', 'Low', 'High', 'Seen'],
      rows: tableSpeeds(ratio.engineSpeedRpm).map((rpm) => {
        const at = ratio.engineSpeedRpm.indexOf(rpm);
        const columns = [ratio.before, ratio.expected, ratio.low, ratio.high, ratio.seen];
        return [numberText(rpm, 0), ...columns.map((values) => numberText(values[at], 3))];
      }),
    },
    key: [
      { label: `seen with ${comparison.after}`, role: 'difference', kind: 'line', dash: 'solid' },
      { label: 'what the pulley alone should give (model)', role: 'air', kind: 'hatch' },
      { label: comparison.before, role: 'muted', kind: 'line', dash: '4px,3px' },
    ],
    notes: [],
    status: null,
  };
}
