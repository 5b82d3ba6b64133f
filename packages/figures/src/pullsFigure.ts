import type { PullResult, SetupResult, TrialResult } from '@pullproof/core';
import { axis, baseLayout, levelTitle } from './baseLayout.js';
import { displayUnits, inDisplayUnit } from './displayUnits.js';
import { emptyFigure, type Figure, type FigureTable, type KeyEntry, type PlotlyObject } from './figure.js';
import { labelText } from './labelText.js';
import { numberText, plotNumber } from './numberText.js';
import { setupStyle } from './palette.js';

const panelHeight = 150;

/**
 * Engine speed of every pull as it was recorded, one panel for each setup: the part that was used, the parts that were cut, the pulls that were left out.
 * @param result the trial's result
 * @returns a figure as plain data
 */
export function pullsFigure(result: TrialResult): Figure {
  const panels = result.setups.map((setup, index) => ({ setup, index })).filter(({ setup }) => setup.pulls.length > 0);
  if (panels.length === 0) return emptyFigure('No pull was found in the logs.');
  const { domains, height, plotHeight } = panelDomains(panels.length);
  const data: PlotlyObject[] = [];
  const layout: { [name: string]: unknown } = {
    ...baseLayout({ height, hovermode: 'closest', margin: { l: 44, r: 10, t: 30, b: 44, pad: 0 } }),
    xaxis: axis({
      title: { text: 'Time from the start of the pull, s', font: { size: 12, color: 'role:text' }, standoff: 8 },
      anchor: axisName('y', panels.length - 1),
      nticks: 9,
    }),
    annotations: panels.map(({ setup }, panel) =>
      levelTitle(`${labelText(setup.name, { longest: 26 })} · ${countsText(setup)}`, { y: domains[panel]![1] }),
    ),
  };
  panels.forEach(({ setup, index }, panel) => {
    layout[axisName('yaxis', panel)] = axis({
      domain: domains[panel],
      tickformat: ',d',
      nticks: 5,
      ticksuffix: ' rpm',
      showticksuffix: 'last',
    });
    setup.pulls.forEach((pull, place) => {
      data.push(...pullTraces(pull, place, { setup: index, panel, result }));
    });
  });
  return {
    data,
    layout: { ...layout, height: plotHeight },
    summary: pullsSummary(panels),
    table: pullsTable(result),
    key: pullsKey(panels),
    status: null,
  };
}

/** Vertical places of stacked panels that share one horizontal axis, in shares of the plot; the first is on top. */
export function panelDomains(
  count: number,
  options: { readonly heightPx?: number } = {},
): { readonly domains: [number, number][]; readonly height: number; readonly plotHeight: number } {
  const gapPx = 34;
  const height = count * (options.heightPx ?? panelHeight) + (count - 1) * gapPx;
  const domains = Array.from({ length: count }, (_, panel): [number, number] => {
    const top = panel * ((options.heightPx ?? panelHeight) + gapPx);
    return [Math.max(0, 1 - (top + (options.heightPx ?? panelHeight)) / height), 1 - top / height];
  });
  return { domains, height, plotHeight: height + 30 + 44 };
}

/** plotly's name of an axis in a panel: `y`, `y2`, … */
export function axisName(base: string, panel: number): string {
  return panel === 0 ? base : `${base}${panel + 1}`;
}

function countsText(setup: SetupResult): string {
  const out = setup.pulls.filter((pull) => !pull.used).length;
  const used = setup.pulls.length - out;
  return `${used} used${out === 0 ? '' : `, ${out} left out`}`;
}

function pullTraces(
  pull: PullResult,
  place: number,
  at: { readonly setup: number; readonly panel: number; readonly result: TrialResult },
): PlotlyObject[] {
  const { role, symbol } = setupStyle(at.setup);
  const { trace } = pull;
  const speed = displayUnits[at.result.units].speed;
  const title = `pull ${place + 1}`;
  const text = trace.timeS.map((_, index) => {
    const road = inDisplayUnit(trace.roadSpeedMps[index] ?? null, speed);
    const engine = `${numberText(trace.engineSpeedRpm[index], 0)} rpm`;
    return `${engine}${road === null ? '' : `, ${numberText(road, speed.decimals)} ${speed.symbol}`}`;
  });
  const where = labelText(`${title}, ${pull.log}`, { longest: 60 });
  const shared = {
    type: 'scatter',
    x: trace.timeS.map(plotNumber),
    yaxis: axisName('y', at.panel),
    customdata: text,
    connectgaps: false,
    showlegend: false,
  };
  const part = (kept: 0 | 1): (number | null)[] =>
    trace.engineSpeedRpm.map((value, index) => (trace.kept[index] === kept ? plotNumber(value) : null));
  if (!pull.used) {
    return [
      {
        ...shared,
        mode: 'lines',
        y: trace.engineSpeedRpm.map(plotNumber),
        line: { color: 'role:muted', width: 1.3, dash: '1px,3px' },
        hovertemplate: `%{customdata}<extra>${labelText(`${title}, left out: ${pull.cutReason ?? 'no reason given'}`, { longest: 90 }).replace(/[%{}]/g, '')}</extra>`,
        name: where,
      },
    ];
  }
  return [
    {
      ...shared,
      mode: 'lines',
      y: cutParts(trace),
      line: { color: 'role:muted', width: 1.3, dash: '4px,3px' },
      hovertemplate: '%{customdata}, cut<extra>%{fullData.name}</extra>',
      name: where,
    },
    {
      ...shared,
      mode: 'lines+markers',
      y: part(1),
      line: { color: `role:${role}`, width: 2 },
      marker: { symbol, size: 6, color: `role:${role}`, maxdisplayed: 6 },
      hovertemplate: '%{customdata}, used<extra>%{fullData.name}</extra>',
      name: where,
    },
  ];
}

/** The samples that were cut, with the neighbouring used sample so that the line meets the used part. */
function cutParts(trace: PullResult['trace']): (number | null)[] {
  return trace.engineSpeedRpm.map((value, index) => {
    const touches = [index - 1, index, index + 1].some((neighbour) => trace.kept[neighbour] === 0);
    return touches ? plotNumber(value) : null;
  });
}

function pullsKey(panels: readonly { readonly setup: SetupResult }[]): KeyEntry[] {
  const isAnyLeftOut = panels.some(({ setup }) => setup.pulls.some((pull) => !pull.used));
  return [
    { label: 'used', role: 'text', kind: 'line', dash: 'solid' },
    { label: 'cut from a used pull', role: 'muted', kind: 'line', dash: '4px,3px' },
    ...(isAnyLeftOut ? [{ label: 'pull left out', role: 'muted', kind: 'line', dash: '1px,3px' } as const] : []),
  ];
}

function pullsSummary(panels: readonly { readonly setup: SetupResult }[]): string {
  const each = panels.map(({ setup }) => {
    const reasons = [...new Set(setup.pulls.flatMap((pull) => (pull.used ? [] : [pull.cutReason ?? 'no reason given'])))];
    return `${setup.name}: ${countsText(setup)}${reasons.length === 0 ? '' : ` (${reasons.join('; ')})`}`;
  });
  return `Engine speed of each pull against time, as recorded. ${each.join('. ')}.`;
}

function pullsTable(result: TrialResult): FigureTable {
  const units = displayUnits[result.units];
  return {
    columns: [
      'Setup',
      'Pull',
      'Log',
      'Outing',
      'Gear',
      'From, s',
      'To, s',
      'From, rpm',
      'To, rpm',
      `Mass, ${units.mass.symbol}`,
      `Air density, ${units.density.symbol}`,
      'Power against the mean',
      'Speed from',
      'Used',
    ],
    rows: result.setups.flatMap((setup) =>
      setup.pulls.map((pull, place) => [
        setup.name,
        String(place + 1),
        pull.log,
        pull.outing,
        pull.gear === null ? '–' : String(pull.gear),
        numberText(pull.startS, 1),
        numberText(pull.endS, 1),
        numberText(pull.fromRpm, 0),
        numberText(pull.toRpm, 0),
        numberText(inDisplayUnit(pull.massKg, units.mass), units.mass.decimals),
        numberText(inDisplayUnit(pull.airDensityKgPerM3, units.density), units.density.decimals),
        pull.scale === null ? '–' : `${numberText((pull.scale - 1) * 100, 1, { signed: true })} %`,
        pull.speedSource,
        pull.used ? 'yes' : `no: ${pull.cutReason ?? 'no reason given'}`,
      ]),
    ),
  };
}
