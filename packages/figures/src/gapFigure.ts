import type { ForecastResult } from '@pullproof/core';
import { axis, baseLayout, levelTitle } from './baseLayout.js';
import { emptyFigure, type Figure, type PlotlyObject } from './figure.js';
import { labelText } from './labelText.js';
import { numberText, plotNumber } from './numberText.js';
import { setupStyle } from './palette.js';
import { bestForecasts } from './stripFigures.js';

const footM = 0.3048;

/**
 * How far ahead each setup is of the first along the strip, in seconds at each mark: the most likely passes, the same day and luck.
 * @param result from `forecastTrial`
 * @returns a figure as plain data; below zero is ahead of the first setup
 */
export function gapFigure(result: ForecastResult): Figure {
  const [first, ...others] = bestForecasts(result);
  const marks = (first?.splits ?? []).map(({ mark, timeS }) => ({ mark, feet: Number.parseInt(mark, 10), timeS: timeS.value }));
  const gaps = others.flatMap((other, index) => {
    const times = new Map(other.splits.map(({ mark, timeS }) => [mark, timeS.value]));
    const known = marks.flatMap(({ mark, feet, timeS }) => {
      const time = times.get(mark);
      return time === undefined ? [] : [{ feet, gap: time - timeS }];
    });
    return known.length === 0 ? [] : [{ setup: other.setup, place: index + 1, points: [{ feet: 0, gap: 0 }, ...known] }];
  });
  if (first === undefined || gaps.length === 0) return emptyFigure('Two setups that can be simulated are needed to see a gap.');
  const text = (gap: number): string => `${numberText(gap, 3, { signed: true })} s`;
  return {
    data: gaps.map(({ setup, place, points }): PlotlyObject => {
      const { role, dash, symbol } = setupStyle(place);
      return {
        type: 'scatter',
        mode: 'lines+markers',
        x: points.map(({ feet }) => plotNumber(feet * footM)),
        y: points.map(({ gap }) => plotNumber(gap)),
        customdata: points.map(({ feet, gap }) => `${text(gap)} at ${numberText(feet, 0)} ft`),
        hovertemplate: '%{customdata}<extra>%{fullData.name}</extra>',
        line: { color: `role:${role}`, width: 2.2, dash },
        marker: { symbol, size: 7, color: `role:${role}` },
        name: labelText(setup),
        showlegend: false,
        meta: { setup: place, label: labelText(setup) },
      };
    }),
    layout: baseLayout({
      height: 280,
      xaxis: axis({
        title: { text: 'Distance, ft', font: { size: 13, color: 'role:text' }, standoff: 8 },
        tickvals: [0, ...marks.map(({ feet }) => feet * footM)],
        ticktext: ['0', ...marks.map(({ feet }) => numberText(feet, 0))],
        range: [-4, 412],
      }),
      yaxis: axis({ tickformat: '+.2f', rangemode: 'tozero', nticks: 5 }),
      annotations: [levelTitle(labelText(`Gap to ${first.setup}, s; below zero is ahead`, { longest: 70 }))],
      shapes: [{ type: 'line', xref: 'paper', x0: 0, x1: 1, y0: 0, y1: 0, line: { color: 'role:text', width: 1.2 } }],
    }),
    summary: `Gap in seconds to ${first.setup} at each mark, most likely passes on the same day. ${gaps
      .map(
        ({ setup, points }) =>
          `${setup}: ${points
            .slice(1)
            .map(({ feet, gap }) => `${text(gap)} at ${numberText(feet, 0)} ft`)
            .join(', ')}`,
      )
      .join('. ')}.`,
    table: {
      columns: ['Mark, ft', ...gaps.map(({ setup }) => `${setup}, s`)],
      rows: marks.map(({ feet }) => [
        numberText(feet, 0),
        ...gaps.map(({ points }) => numberText(points.find((point) => point.feet === feet)?.gap, 3, { signed: true })),
      ]),
    },
    key: gaps.map(({ setup, place }) => {
      const { role, dash, symbol } = setupStyle(place);
      return { label: setup, role, kind: 'line', dash, symbol };
    }),
    notes: [],
    status: null,
  };
}
