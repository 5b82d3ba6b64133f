import type { SetupResult, TrialResult } from '@pullproof/core';
import { axis, baseLayout, levelTitle } from './baseLayout.js';
import { type DisplayUnit, displayUnits, inDisplayUnit } from './displayUnits.js';
import { emptyFigure, type Figure, type PlotlyObject } from './figure.js';
import { labelText } from './labelText.js';
import { numberText, plotNumber } from './numberText.js';
import { setupStyle } from './palette.js';

interface Start {
  readonly order: number;
  readonly kelvin: number;
  readonly log: string;
}

/**
 * Charge temperature at the start of each pull in the order the pulls were made, with the straight line that fits them best.
 *
 * Slope by least squares, shown without a band: it is there to see heat soak, not to measure it.
 * @param result the trial's result
 * @returns a figure as plain data; `status` where no log has a charge temperature
 */
export function chargeTemperatureFigure(result: TrialResult): Figure {
  const { temperature, temperatureDifference } = displayUnits[result.units];
  const series = result.setups.map((setup, index) => ({ setup, index, starts: startsOf(setup) })).filter(({ starts }) => starts.length > 0);
  const missing = result.setups.filter((setup) => startsOf(setup).length === 0).map((setup) => setup.name);
  if (series.length === 0)
    return emptyFigure('No charge temperature is known at the start of a pull, so heat soak can be neither seen nor ruled out.');
  const mostPulls = Math.max(...series.flatMap(({ starts }) => starts.map((start) => start.order)));
  const trends = series.map(({ starts }) => slopePerPull(starts));
  return {
    data: series.flatMap((item, place) => startTraces(item, trends[place]!, temperature)),
    layout: baseLayout({
      height: 280,
      xaxis: axis({
        title: { text: 'Pull, in the order made', font: { size: 12, color: 'role:text' }, standoff: 8 },
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
      ...series.map(({ setup, starts }, place) => {
        const values = starts.map((start) => `${numberText(inDisplayUnit(start.kelvin, temperature), temperature.decimals)}`).join(', ');
        const slope = trends[place]!.slope;
        const trend =
          slope === null
            ? ''
            : `; trend ${numberText(inDisplayUnit(slope, temperatureDifference), 1, { signed: true })} ${temperature.symbol} a pull`;
        return `${setup.name}: ${values} ${temperature.symbol}${trend}.`;
      }),
      ...(missing.length === 0 ? [] : [`Not known: ${missing.join(', ')}.`]),
    ].join(' '),
    table: {
      columns: ['Setup', 'Pull', 'Log', `At the start, ${temperature.symbol}`, `At the end, ${temperature.symbol}`],
      rows: result.setups.flatMap((setup) =>
        setup.pulls.map((pull, place) => [
          setup.name,
          String(place + 1),
          pull.log,
          numberText(inDisplayUnit(pull.startChargeTemperatureK, temperature), temperature.decimals),
          numberText(inDisplayUnit(pull.endChargeTemperatureK, temperature), temperature.decimals),
        ]),
      ),
    },
    key: [
      ...series.map(
        ({ setup, index }) =>
          ({ label: setup.name, role: setupStyle(index).role, kind: 'marker', symbol: setupStyle(index).symbol }) as const,
      ),
      ...(trends.some(({ slope }) => slope !== null)
        ? [{ label: 'straight line through them', role: 'muted', kind: 'line', dash: '4px,3px' } as const]
        : []),
    ],
    notes: missing.map((name) => `Not shown: ${name}: none known at the start of a pull.`),
    status: null,
  };
}

function startsOf(setup: SetupResult): Start[] {
  return setup.pulls.flatMap((pull, place) =>
    pull.startChargeTemperatureK === null ? [] : [{ order: place + 1, kelvin: pull.startChargeTemperatureK, log: pull.log }],
  );
}

/** Least-squares line; no slope below three pulls, where a line fits anything. */
function slopePerPull(starts: readonly Start[]): { readonly slope: number | null; readonly at: (order: number) => number } {
  const meanOrder = starts.reduce((sum, start) => sum + start.order, 0) / starts.length;
  const meanKelvin = starts.reduce((sum, start) => sum + start.kelvin, 0) / starts.length;
  const spread = starts.reduce((sum, start) => sum + (start.order - meanOrder) ** 2, 0);
  if (starts.length < 3 || spread === 0) return { slope: null, at: () => meanKelvin };
  const slope = starts.reduce((sum, start) => sum + (start.order - meanOrder) * (start.kelvin - meanKelvin), 0) / spread;
  return { slope, at: (order) => meanKelvin + slope * (order - meanOrder) };
}

function startTraces(
  { setup, index, starts }: { readonly setup: SetupResult; readonly index: number; readonly starts: readonly Start[] },
  trend: ReturnType<typeof slopePerPull>,
  unit: DisplayUnit,
): PlotlyObject[] {
  const { role, symbol } = setupStyle(index);
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
    marker: { symbol, size: 10, color: `role:${role}` },
    name: labelText(setup.name),
  };
  if (trend.slope === null) return [points];
  const ends = [Math.min(...orders), Math.max(...orders)];
  const line = {
    type: 'scatter',
    mode: 'lines',
    x: ends,
    y: ends.map((order) => plotNumber(inDisplayUnit(trend.at(order), unit))),
    line: { color: `role:${role}`, width: 1.4, dash: '4px,3px' },
    hoverinfo: 'skip',
    showlegend: false,
    name: labelText(`${setup.name}, trend`),
  };
  return [line, points];
}
