import { type Channel, findChannel, findStretches, freshSamples, type Log, type Quantity, quantityUnits, shownName } from '@pullproof/core';
import { axis, baseLayout, levelTitle } from './baseLayout.js';
import { type DisplayUnit, displayUnitFor, plainUnit, shareInPercent, type UnitSystem } from './displayUnits.js';
import { emptyFigure, type Figure, type PlotlyObject } from './figure.js';
import { labelText } from './labelText.js';
import { numberText, plotNumber } from './numberText.js';
import { axisName, panelDomains } from './panels.js';

/** Quantities held as shares, read as percent. */
const shares: ReadonlySet<Quantity> = new Set([
  'pedal',
  'throttle',
  'load',
  'injector-duty',
  'bypass-duty',
  'wastegate-duty',
  'ethanol-share',
]);
const mostPoints = 3000;

/**
 * Channels of a log against time, one panel each, with the full-load pulls shaded.
 * @param log as read
 * @param quantities what to show, from top to bottom, or channels themselves, such as calculated ones; those that the log lacks are named in the notes
 * @param options `units` for people, metric by default; `fromS` and `toS` cut to a span of the log's time
 * @returns a figure as plain data; only new readings are drawn, every n-th of them where there are more than 3,000
 */
export function channelsFigure(
  log: Log,
  quantities: readonly (Quantity | Channel)[],
  options: { readonly units?: UnitSystem; readonly fromS?: number; readonly toS?: number } = {},
): Figure {
  const { units = 'metric', fromS = Number.NEGATIVE_INFINITY, toS = Number.POSITIVE_INFINITY } = options;
  const wanted = quantities.map((item) =>
    typeof item === 'string' ? { name: item, channel: findChannel(log, item) } : { name: item.name, channel: item },
  );
  const missing = wanted.filter(({ channel }) => channel === null).map(({ name }) => `Not in this log: ${plainWords(name)}.`);
  const panels = wanted.flatMap(({ channel }) => {
    if (channel === null) return [];
    const { timeS, values } = freshSamples(log, channel);
    const at = [...timeS.keys()].filter((index) => timeS[index]! >= fromS && timeS[index]! <= toS);
    const unit = unitOf(channel, units);
    return at.length === 0 ? [] : [{ channel, unit, timeS: at.map((i) => timeS[i]!), shown: at.map((i) => unit.fromSi(values[i]!)) }];
  });
  if (panels.length === 0) return emptyFigure(`None of these is in the log: ${wanted.map(({ name }) => plainWords(name)).join(', ')}.`);
  const pulls = findStretches(log).pulls.filter(({ startS, endS }) => endS >= fromS && startS <= toS);
  const { domains, plotHeight } = panelDomains(panels.length, { heightPx: 110 });
  const titles = panels.map(({ channel, unit }) => {
    const name = channel.quantity === null ? channel.name : plainWords(channel.quantity);
    return `${name[0]!.toUpperCase()}${name.slice(1)}${unit.symbol === '' ? '' : `, ${unit.symbol}`}`;
  });
  const layout: { [name: string]: unknown } = {
    ...baseLayout({ height: plotHeight, hovermode: 'closest', margin: { l: 44, r: 10, t: 30, b: 44, pad: 0 } }),
    xaxis: axis({
      title: { text: 'Time in the log, s', font: { size: 13, color: 'role:text' }, standoff: 8 },
      anchor: axisName('y', panels.length - 1),
      nticks: 9,
    }),
    annotations: titles.map((title, panel) => levelTitle(labelText(title, { longest: 60 }), { y: domains[panel]![1] })),
    shapes: pulls.map(({ startS, endS }) => ({
      type: 'rect',
      yref: 'paper',
      y0: 0,
      y1: 1,
      x0: plotNumber(startS),
      x1: plotNumber(endS),
      fillcolor: 'role:setup2/0.18',
      line: { width: 0 },
      layer: 'below',
    })),
  };
  panels.forEach((_, panel) => {
    layout[axisName('yaxis', panel)] = axis({ domain: domains[panel], nticks: 4 });
  });
  return {
    data: panels.map(({ timeS, shown, unit }, panel): PlotlyObject => {
      const every = Math.ceil(shown.length / mostPoints);
      const kept = shown.flatMap((value, i) => (i % every === 0 ? [{ time: timeS[i]!, value }] : []));
      return {
        type: 'scatter',
        mode: 'lines',
        x: kept.map(({ time }) => plotNumber(time)),
        y: kept.map(({ value }) => plotNumber(value)),
        yaxis: axisName('y', panel),
        line: { color: 'role:setup1', width: 1.3 },
        hovertemplate: `%{y} ${unit.symbol} at %{x} s<extra></extra>`,
        name: labelText(titles[panel]!),
        showlegend: false,
      };
    }),
    layout,
    summary: `${shownName(log.path)} against time. ${panels
      .map(
        ({ shown, unit }, i) =>
          `${titles[i]}: ${numberText(extremes(shown)[0], unit.decimals)} to ${numberText(extremes(shown)[1], unit.decimals)}.`,
      )
      .join(' ')} ${pulls.length === 1 ? 'One full-load pull is' : `${pulls.length} full-load pulls are`} shaded.`,
    table: {
      columns: ['Channel', 'Least', 'Most', 'Readings'],
      rows: panels.map(({ shown, unit }, i) => {
        const [least, most] = extremes(shown);
        return [titles[i]!, numberText(least, unit.decimals), numberText(most, unit.decimals), numberText(shown.length, 0)];
      }),
    },
    key: [
      { label: 'readings', role: 'setup1', kind: 'line', dash: 'solid' },
      { label: 'full-load pull', role: 'setup2', kind: 'band' },
    ],
    notes: missing,
    status: null,
  };
}

function extremes(values: readonly number[]): [least: number, most: number] {
  return values.reduce<[number, number]>(
    ([least, most], value) => [Math.min(least, value), Math.max(most, value)],
    [Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY],
  );
}

function unitOf({ quantity, unit }: Channel, units: UnitSystem): DisplayUnit {
  if (quantity === null) return displayUnitFor(unit, units);
  if (shares.has(quantity)) return shareInPercent;
  const si = quantityUnits[quantity];
  return si === 'rpm' ? plainUnit('rpm', 0) : displayUnitFor(si, units);
}

function plainWords(name: string): string {
  return name.replaceAll('-', ' ');
}
