import type { TrialResult } from '@pullproof/core';
import { bandTrace } from './bandTraces.js';
import { axis, baseLayout, engineSpeedAxis, levelTitle } from './baseLayout.js';
import { displayUnits, inDisplayUnit } from './displayUnits.js';
import { emptyFigure, type Figure, type PlotlyObject } from './figure.js';
import { labelText } from './labelText.js';
import { numberText, plotNumber } from './numberText.js';
import { setupStyle } from './palette.js';
import { axisName, panelDomains } from './panels.js';

/**
 * Wheel power of each pull by itself, over the band of its setup, one panel for each setup: how far the pulls agree.
 * @param result the trial's result
 * @returns a figure as plain data
 */
export function pullPowerFigure(result: TrialResult): Figure {
  const unit = displayUnits[result.units].power;
  const panels = result.setups
    .map((setup, index) => ({
      setup,
      index,
      pulls: setup.pulls
        .map((pull, place) => ({ pull, place }))
        .filter(({ pull }) => pull.used && pull.wheelPowerW.value.some((value) => value !== null)),
    }))
    .filter(({ pulls }) => pulls.length > 0);
  if (panels.length === 0) return emptyFigure('No pull has a power curve of its own.');
  const { domains, plotHeight } = panelDomains(panels.length, { heightPx: 180 });
  const data: PlotlyObject[] = [];
  const layout: { [name: string]: unknown } = {
    ...baseLayout({ height: plotHeight, margin: { l: 44, r: 10, t: 30, b: 44, pad: 0 } }),
    xaxis: engineSpeedAxis({ anchor: axisName('y', panels.length - 1) }),
    annotations: panels.map(({ setup }, panel) => levelTitle(labelText(setup.name, { longest: 46 }), { y: domains[panel]![1] })),
  };
  panels.forEach(({ setup, index, pulls }, panel) => {
    const { role, symbol } = setupStyle(index);
    const yaxis = axisName('y', panel);
    layout[axisName('yaxis', panel)] = axis({
      domain: domains[panel],
      ...(panel === 0 ? {} : { matches: 'y' }),
      nticks: 5,
      ticksuffix: ` ${unit.symbol}`,
      showticksuffix: 'last',
    });
    const curve = setup.curves.wheelPowerW;
    if (curve?.value.some((value) => value !== null)) {
      const show = (values: readonly (number | null)[]): (number | null)[] => values.map((value) => inDisplayUnit(value, unit));
      data.push(bandTrace(curve.engineSpeedRpm, show(curve.low), show(curve.high), { role, name: labelText(setup.name), yaxis }));
    }
    for (const { pull, place } of pulls) {
      const value = pull.wheelPowerW.value.map((watts) => inDisplayUnit(watts, unit));
      data.push({
        type: 'scatter',
        mode: 'lines+markers',
        x: pull.wheelPowerW.engineSpeedRpm.map(plotNumber),
        y: value.map(plotNumber),
        yaxis,
        customdata: value.map((at) => `${numberText(at, unit.decimals)} ${unit.symbol}`),
        hovertemplate: '%{customdata}<extra>%{fullData.name}</extra>',
        line: { color: `role:${role}`, width: 1.3, dash: pullDash(place) },
        marker: { symbol, size: 5, color: `role:${role}`, maxdisplayed: 5 },
        connectgaps: false,
        showlegend: false,
        name: labelText(`pull ${place + 1}, ${pull.log}`, { longest: 60 }),
      });
    }
  });
  const spread = panels.map(
    ({ setup, pulls }) =>
      `${setup.name}: ${pulls.map(({ pull, place }) => (pull.scale === null ? `pull ${place + 1} alone` : `pull ${place + 1} ${numberText((pull.scale - 1) * 100, 1, { signed: true })} %`)).join(', ')}`,
  );
  return {
    data,
    layout,
    summary: `Wheel power of each pull by itself, with the band of its setup. Against the mean of the setup: ${spread.join('; ')}.`,
    table: {
      columns: ['Setup', 'Pull', 'Log', `Largest power, ${unit.symbol}`, 'Against the mean of its setup'],
      rows: panels.flatMap(({ setup, pulls }) =>
        pulls.map(({ pull, place }) => [
          setup.name,
          String(place + 1),
          pull.log,
          numberText(inDisplayUnit(largest(pull.wheelPowerW.value), unit), unit.decimals),
          pull.scale === null ? 'only pull' : `${numberText((pull.scale - 1) * 100, 1, { signed: true })} %`,
        ]),
      ),
    },
    key: [
      { label: 'one pull', role: 'text', kind: 'line', dash: 'solid' },
      { label: 'band of the setup', role: 'muted', kind: 'band' },
    ],
    notes: [],
    status: null,
  };
}

function largest(values: readonly (number | null)[]): number | null {
  const known = values.filter((value) => value !== null);
  return known.length === 0 ? null : known.reduce((best, value) => Math.max(best, value));
}

function pullDash(place: number): string {
  return ['solid', '6px,3px', '2px,2px', '8px,3px,2px,3px'][place % 4]!;
}
