import type { SetupResult, TrialResult } from '@pullproof/core';
import { axis, baseLayout, levelTitle } from './baseLayout.js';
import { type DisplayUnit, displayUnits, inDisplayUnit } from './displayUnits.js';
import { emptyFigure, type Figure, type PlotlyObject } from './figure.js';
import { labelText } from './labelText.js';
import { numberText, plotNumber } from './numberText.js';
import { setupStyle } from './palette.js';

interface Start {
  /** Place among the setup's pulls of that outing, the first is 1. */
  readonly order: number;
  readonly kelvin: number;
  readonly log: string;
}

/** The pulls of one setup on one outing: heat soaks from pull to pull, and is gone by the next outing. */
interface Series {
  readonly name: string;
  readonly role: string;
  readonly symbol: string;
  readonly starts: readonly Start[];
  readonly trend: Trend | null;
}

interface Trend {
  readonly slope: number;
  readonly at: (order: number) => number;
}

/**
 * Charge temperature at the start of each pull in the order the pulls were made on an outing, with the straight line that fits them best.
 *
 * Slope by least squares, shown without a band: it is there to see heat soak, not to measure it.
 * @param result the trial's result
 * @returns a figure as plain data; `status` where no pull has a charge temperature
 */
export function chargeTemperatureFigure(result: TrialResult): Figure {
  const { temperature, temperatureDifference } = displayUnits[result.units];
  const series = result.setups.flatMap(seriesOf);
  const missing = result.setups.filter((setup, index) => seriesOf(setup, index).length === 0).map((setup) => setup.name);
  if (series.length === 0) {
    return emptyFigure('No charge temperature is known at the start of a pull, so heat soak can be neither seen nor ruled out.');
  }
  const mostPulls = Math.max(...series.flatMap(({ starts }) => starts.map((start) => start.order)));
  return {
    data: series.flatMap((item) => seriesTraces(item, temperature)),
    layout: baseLayout({
      height: 280,
      xaxis: axis({
        title: { text: 'Pull of the outing, in the order made', font: { size: 13, color: 'role:text' }, standoff: 8 },
        dtick: 1,
        tick0: 1,
        range: [0.6, mostPulls + 0.4],
      }),
      yaxis: axis({}),
      hovermode: 'closest',
      annotations: [levelTitle(`Charge temperature at the start of the pull, ${temperature.symbol}`)],
    }),
    summary: [
      'Charge temperature at the start of each pull.',
      ...series.map(({ name, starts, trend }) => {
        const values = starts.map((start) => numberText(inDisplayUnit(start.kelvin, temperature), temperature.decimals)).join(', ');
        const rise =
          trend === null
            ? ''
            : `; trend ${numberText(temperatureDifference.fromSi(trend.slope), 1, { signed: true })} ${temperature.symbol} a pull`;
        return `${name}: ${values} ${temperature.symbol}${rise}.`;
      }),
      ...(missing.length === 0 ? [] : [`Not known: ${missing.join(', ')}.`]),
    ].join(' '),
    table: {
      columns: ['Setup', 'Pull', 'Outing', 'Log', `At the start, ${temperature.symbol}`, `At the end, ${temperature.symbol}`],
      rows: result.setups.flatMap((setup) =>
        setup.pulls.map((pull, place) => [
          setup.name,
          String(place + 1),
          pull.outing,
          pull.log,
          numberText(inDisplayUnit(pull.startChargeTemperatureK, temperature), temperature.decimals),
          numberText(inDisplayUnit(pull.endChargeTemperatureK, temperature), temperature.decimals),
        ]),
      ),
    },
    key: [
      ...series.map(({ name, role, symbol }) => ({ label: name, role, kind: 'marker', symbol }) as const),
      ...(series.some(({ trend }) => trend !== null)
        ? [{ label: 'straight line through them', role: 'muted', kind: 'line', dash: '4px,3px' } as const]
        : []),
    ],
    notes: missing.map((name) => `Not shown: ${name}: none known at the start of a pull.`),
    status: null,
  };
}

function seriesOf(setup: SetupResult, index: number): readonly Series[] {
  const { role, symbol } = setupStyle(index);
  const outings = [...new Set(setup.pulls.map((pull) => pull.outing))];
  return outings.flatMap((outing, place) => {
    const pulls = setup.pulls.filter((pull) => pull.outing === outing);
    const starts = pulls.flatMap((pull, at) =>
      pull.startChargeTemperatureK === null ? [] : [{ order: at + 1, kelvin: pull.startChargeTemperatureK, log: pull.log }],
    );
    if (starts.length === 0) return [];
    const name = outings.length === 1 ? setup.name : `${setup.name}, ${outing}`;
    return [{ name, role, symbol: `${symbol}${['', '-open', '-dot', '-open-dot'][place % 4]!}`, starts, trend: trendOf(starts) }];
  });
}

/** Least-squares line; none below three pulls, where a line fits anything. */
function trendOf(starts: readonly Start[]): Trend | null {
  const meanOrder = starts.reduce((sum, start) => sum + start.order, 0) / starts.length;
  const meanKelvin = starts.reduce((sum, start) => sum + start.kelvin, 0) / starts.length;
  const spread = starts.reduce((sum, start) => sum + (start.order - meanOrder) ** 2, 0);
  if (starts.length < 3 || spread === 0) return null;
  const slope = starts.reduce((sum, start) => sum + (start.order - meanOrder) * (start.kelvin - meanKelvin), 0) / spread;
  return { slope, at: (order) => meanKelvin + slope * (order - meanOrder) };
}

function seriesTraces({ name, role, symbol, starts, trend }: Series, unit: DisplayUnit): PlotlyObject[] {
  const orders = starts.map((start) => start.order);
  const points: PlotlyObject = {
    type: 'scatter',
    mode: 'markers',
    x: orders,
    y: starts.map((start) => plotNumber(inDisplayUnit(start.kelvin, unit))),
    customdata: starts.map((start) =>
      labelText(`${numberText(inDisplayUnit(start.kelvin, unit), unit.decimals)} ${unit.symbol}, ${start.log}`, { longest: 60 }),
    ),
    hovertemplate: 'pull %{x}: %{customdata}<extra>%{fullData.name}</extra>',
    marker: { symbol, size: 10, color: `role:${role}`, ...(symbol.includes('-open') ? { line: { width: 2 } } : {}) },
    name: labelText(name),
  };
  if (trend === null) return [points];
  const ends = [Math.min(...orders), Math.max(...orders)];
  const line = {
    type: 'scatter',
    mode: 'lines',
    x: ends,
    y: ends.map((order) => plotNumber(inDisplayUnit(trend.at(order), unit))),
    line: { color: `role:${role}`, width: 1.4, dash: '4px,3px' },
    hoverinfo: 'skip',
    showlegend: false,
    name: labelText(`${name}, trend`),
  };
  return [line, points];
}
