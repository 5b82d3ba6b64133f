import type { TopEndAnalysis, TopEndObservation, TopEndSamples, TrialResult } from '@pullproof/core';
import { axis, baseLayout, engineSpeedAxis, levelTitle } from './baseLayout.js';
import { type DisplayUnit, displayUnitFor, inDisplayUnit, shareInPercent } from './displayUnits.js';
import { emptyFigure, type Figure, type FigureTable, type KeyEntry, type PlotlyObject } from './figure.js';
import { labelText } from './labelText.js';
import { numberText, plotNumber, significantText } from './numberText.js';
import { setupStyle } from './palette.js';
import { axisName, panelDomains } from './panels.js';

const windowNames = { low: 'low', top: 'top' } as const;

/**
 * What was seen towards the top: each observation in a panel of its own against engine speed, the two windows marked, and in them the mean of each pull.
 * @param result the trial's result
 * @param options `analysis`: one of the result's; `observations`: their ids, in the order of the panels
 * @returns a figure as plain data; its table has the readings of each pull. `status` says so where none of the observations was recorded along engine speed
 */
export function topEndFigure(
  result: TrialResult,
  options: { readonly analysis: TopEndAnalysis; readonly observations: readonly string[] },
): Figure {
  const { analysis } = options;
  const shown = options.observations.flatMap((id) => {
    const found = analysis.observations.find((observation) => observation.id === id);
    return found?.traces.some(({ value }) => value.some((at) => at !== null)) ? [found] : [];
  });
  if (shown.length === 0) return emptyFigure('None of what was looked at was recorded along engine speed.');
  const places = new Map(result.setups.map(({ name }, place) => [name, place]));
  const { domains, plotHeight } = panelDomains(shown.length, { heightPx: 96 });
  const layout: { [name: string]: unknown } = {
    ...baseLayout({ height: plotHeight, hovermode: 'closest', margin: { l: 44, r: 10, t: 30, b: 44, pad: 0 } }),
    xaxis: engineSpeedAxis({ anchor: axisName('y', shown.length - 1) }),
    annotations: shown.map((observation, panel) =>
      levelTitle(panelTitle(observation, unitOf(observation, result)), { y: domains[panel]![1] }),
    ),
    shapes: windowShapes(analysis),
  };
  shown.forEach((_, panel) => {
    layout[axisName('yaxis', panel)] = axis({ domain: domains[panel], nticks: 4, tickformat: '~f' });
  });
  return {
    data: shown.flatMap((observation, panel) => panelTraces(observation, { panel, places, unit: unitOf(observation, result) })),
    layout,
    summary: summaryOf(analysis, shown),
    table: readingsTable(shown, result),
    key: keyOf(analysis, places),
    notes: [],
    status: null,
  };
}

/** What stands for the air of one engine cycle: its mass, or the time that the injectors would need for its fuel at lambda 1. */
const smallUnits: Readonly<Record<string, DisplayUnit>> = {
  'air-per-turn': { symbol: 'mg', fromSi: (kg) => 1e6 * kg, decimals: 0 },
  'air-by-fuel': { symbol: 'ms', fromSi: (seconds) => 1e3 * seconds, decimals: 2 },
};

/** The unit in which an observation is read; a share is read in per cent. */
function unitOf({ unit, id }: TopEndObservation, result: TrialResult): DisplayUnit {
  const small = smallUnits[id];
  if (small !== undefined) return small;
  return unit === '1' && /^(throttle|bypass|torque-cuts)$/.test(id) ? shareInPercent : displayUnitFor(unit, result.units);
}

function panelTitle({ name }: TopEndObservation, { symbol }: DisplayUnit): string {
  return labelText(symbol === '' ? name : `${name}, ${symbol}`, { longest: 52 });
}

function windowShapes({ fade }: TopEndAnalysis): PlotlyObject[] {
  return [fade.lowRpm, fade.topRpm].flatMap((span) =>
    span === null
      ? []
      : [
          {
            type: 'rect',
            xref: 'x',
            yref: 'paper',
            x0: span[0],
            x1: span[1],
            y0: 0,
            y1: 1,
            layer: 'below',
            fillcolor: 'role:muted/0.12',
            line: { color: 'role:muted', width: 0.8, dash: '3px,3px' },
          },
        ],
  );
}

function panelTraces(
  { traces, samples }: TopEndObservation,
  at: { readonly panel: number; readonly places: ReadonlyMap<string, number>; readonly unit: DisplayUnit },
): PlotlyObject[] {
  const yaxis = axisName('y', at.panel);
  const shown = (value: number | null): number | null => plotNumber(inDisplayUnit(value, at.unit));
  const lines = traces.map(({ setup, engineSpeedRpm, value }): PlotlyObject => {
    const { role, dash } = setupStyle(at.places.get(setup) ?? 0);
    return {
      type: 'scatter',
      mode: 'lines',
      x: engineSpeedRpm.map(plotNumber),
      y: value.map(shown),
      yaxis,
      hovertemplate: `%{x:,d} rpm: %{y:.4~g}${at.unit.symbol === '' ? '' : ` ${labelText(at.unit.symbol)}`}<extra>%{fullData.name}</extra>`,
      line: { color: `role:${role}`, width: 1.6, dash },
      connectgaps: false,
      name: labelText(setup),
      meta: { setup: at.places.get(setup) ?? 0, ...(at.panel === 0 ? { label: labelText(setup) } : {}) },
    };
  });
  const setups = [...new Set(samples.map(({ setup }) => setup))];
  const means = setups.map((setup): PlotlyObject => {
    const { role, symbol } = setupStyle(at.places.get(setup) ?? 0);
    const own = samples.filter((sample) => sample.setup === setup);
    return {
      type: 'scatter',
      mode: 'markers',
      x: own.map(({ fromRpm, toRpm }) => plotNumber((fromRpm + toRpm) / 2)),
      y: own.map(({ mean }) => shown(mean)),
      yaxis,
      customdata: own.map((sample) => labelText(sampleText(sample, at.unit), { longest: 110 })),
      hovertemplate: '%{customdata}<extra>%{fullData.name}</extra>',
      marker: { symbol: `${symbol}-open`, size: 8, color: `role:${role}`, line: { width: 1.5 } },
      name: labelText(setup),
      meta: { setup: at.places.get(setup) ?? 0 },
    };
  });
  return [...lines, ...means];
}

function sampleText({ mean, log, startS, endS, count }: TopEndSamples, { fromSi, symbol }: DisplayUnit): string {
  return `mean ${significantText(fromSi(mean), 4)}${symbol === '' ? '' : ` ${symbol}`} of ${numberText(count, 0)} readings, ${log}, ${numberText(startS, 1)} to ${numberText(endS, 1)} s`;
}

function summaryOf({ before, after, fade }: TopEndAnalysis, shown: readonly TopEndObservation[]): string {
  const span = (range: readonly [number, number] | null): string =>
    range === null ? 'no window' : `${numberText(range[0], 0)} to ${numberText(range[1], 0)} rpm`;
  return [
    `What was seen with ${before === null ? after : `${after} vs ${before}`}, from the low window (${span(fade.lowRpm)}) to the top one (${span(fade.topRpm)}).`,
    ...shown.map(({ sentence }) => sentence),
  ].join(' ');
}

function readingsTable(shown: readonly TopEndObservation[], result: TrialResult): FigureTable {
  return {
    columns: ['What', 'Setup', 'Log', 'Window', 'From, s', 'To, s', 'From, rpm', 'To, rpm', 'Readings', 'Mean', 'Unit'],
    rows: shown.flatMap((observation) => {
      const unit = unitOf(observation, result);
      return observation.samples.map(({ setup, log, window, startS, endS, fromRpm, toRpm, count, mean }) => [
        observation.name,
        setup,
        log,
        windowNames[window],
        numberText(startS, 2),
        numberText(endS, 2),
        numberText(fromRpm, 0),
        numberText(toRpm, 0),
        numberText(count, 0),
        significantText(unit.fromSi(mean), 4),
        unit.symbol === '' ? '–' : unit.symbol,
      ]);
    }),
  };
}

function keyOf({ before, after }: TopEndAnalysis, places: ReadonlyMap<string, number>): KeyEntry[] {
  const setups = [before, after].filter((name) => name !== null);
  return [
    ...setups.map((name): KeyEntry => {
      const { role, dash, symbol } = setupStyle(places.get(name) ?? 0);
      return { label: name, role, kind: 'line', dash, symbol: `${symbol}-open` };
    }),
    { label: 'mean of one pull in a window', role: 'muted', kind: 'marker', symbol: 'circle-open' },
    { label: 'where low and top are read', role: 'muted', kind: 'band' },
  ];
}
