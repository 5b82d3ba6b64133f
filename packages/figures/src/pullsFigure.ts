import type { PullResult, SetupResult, TrialResult } from '@pullproof/core';
import { axis, baseLayout, levelTitle } from './baseLayout.js';
import { displayUnits, inDisplayUnit } from './displayUnits.js';
import { emptyFigure, type Figure, type FigureTable, type KeyEntry, type PlotlyObject } from './figure.js';
import { labelText } from './labelText.js';
import { numberText, plotNumber } from './numberText.js';
import { setupStyle } from './palette.js';
import { axisName, panelDomains } from './panels.js';

/**
 * Engine speed of every pull as it was recorded, one panel for each setup: the part that was used, the parts that were cut, the pulls that were left out.
 * @param result the trial's result
 * @returns a figure as plain data
 */
export function pullsFigure(result: TrialResult): Figure {
  const panels = result.setups.map((setup, index) => ({ setup, index })).filter(({ setup }) => setup.pulls.length > 0);
  if (panels.length === 0) return emptyFigure('No pull was found in the logs.');
  const { domains, plotHeight } = panelDomains(panels.length, { heightPx: 150 });
  const data: PlotlyObject[] = [];
  const layout: { [name: string]: unknown } = {
    ...baseLayout({ height: plotHeight, hovermode: 'closest', margin: { l: 44, r: 10, t: 30, b: 44, pad: 0 } }),
    xaxis: axis({
      title: { text: 'Time from the start of the pull, s', font: { size: 13, color: 'role:text' }, standoff: 8 },
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
    layout,
    summary: pullsSummary(panels),
    table: pullsTable(result),
    key: pullsKey(panels),
    notes: [],
    status: null,
  };
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
  const { role } = setupStyle(at.setup);
  const title = `pull ${place + 1}`;
  const trace = (isWanted: (index: number) => boolean, words: string): PlotlyObject => ({
    type: 'scatter',
    mode: 'lines',
    ...partOfTrace(pull, isWanted, at.result),
    yaxis: axisName('y', at.panel),
    hovertemplate: `%{y:,.0f} rpm, %{customdata} ${displayUnits[at.result.units].speed.symbol}, ${words}<extra>%{fullData.name}</extra>`,
    connectgaps: false,
    showlegend: false,
    name: labelText(`${title}, ${pull.log}`, { longest: 60 }),
  });
  if (!pull.used) {
    const why = labelText(pull.cutReason ?? 'no reason given', { longest: 80 }).replace(/[%{}]/g, '');
    return [{ ...trace(() => true, `left out: ${why}`), line: { color: 'role:muted', width: 1.3, dash: '1px,3px' } }];
  }
  const isKept = (index: number): boolean => pull.trace.kept[index] === 1;
  /** With the neighbouring used sample, so that the line meets the used part. */
  const touchesCut = (index: number): boolean => [index - 1, index, index + 1].some((near) => pull.trace.kept[near] === 0);
  return [
    { ...trace(touchesCut, 'cut'), line: { color: 'role:muted', width: 1.3, dash: '4px,3px' } },
    {
      ...trace(isKept, 'used'),
      line: { color: `role:${role}`, width: 1.4 },
    },
  ];
}

/** The wanted samples of a recording; whatever lies between them is one gap. */
function partOfTrace({ trace }: PullResult, isWanted: (index: number) => boolean, result: TrialResult): PlotlyObject {
  const { speed } = displayUnits[result.units];
  const part = { x: [] as (number | null)[], y: [] as (number | null)[], customdata: [] as (number | string)[] };
  trace.timeS.forEach((time, index) => {
    const rpm = isWanted(index) ? plotNumber(trace.engineSpeedRpm[index]) : null;
    if (rpm === null && (part.y.length === 0 || part.y.at(-1) === null)) return;
    const road = inDisplayUnit(trace.roadSpeedMps[index] ?? null, speed);
    part.x.push(plotNumber(time));
    part.y.push(rpm);
    // Two thousand texts would outweigh the rest of the report's data.
    part.customdata.push(road === null ? '–' : Math.round(road));
  });
  return part;
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
      `Weight, ${units.mass.symbol}`,
      `Air density, ${units.density.symbol}`,
      'vs average',
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
        pull.scale === null ? '–' : `${numberText((pull.scale - 1) * 100, 1, { signed: true })}%`,
        pull.speedSource,
        pull.used ? 'yes' : `no: ${pull.cutReason ?? 'no reason given'}`,
      ]),
    ),
  };
}
