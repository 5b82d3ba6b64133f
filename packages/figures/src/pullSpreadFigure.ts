import type { CurveResult, PullResult, SetupResult, TrialResult } from '@pullproof/core';
import { bandTrace } from './bandTraces.js';
import { axis, baseLayout, engineSpeedAxis, levelTitle } from './baseLayout.js';
import { emptyFigure, type Figure, type PlotlyObject } from './figure.js';
import { labelText } from './labelText.js';
import { numberText, plotNumber } from './numberText.js';
import { setupStyle } from './palette.js';
import { axisName, panelDomains } from './panels.js';

type Values = readonly (number | null)[];

interface Panel {
  readonly setup: SetupResult;
  readonly index: number;
  readonly pulls: readonly { readonly pull: PullResult; readonly place: number; readonly percent: Values }[];
}

/**
 * How far each pull's wheel power lies from the curve of its setup, in per cent along engine speed, one panel for each setup.
 *
 * The band is the half-width that the spread from pull to pull contributes to the setup's curve.
 * @param result the trial's result
 * @returns a figure as plain data; `status` where no setup has two pulls to compare
 */
export function pullSpreadFigure(result: TrialResult): Figure {
  const panels = result.setups.map(panelOf).filter(({ pulls }) => pulls.length > 1);
  if (panels.length === 0) return emptyFigure('No setup has two pulls with a power curve, so how well pulls repeat cannot be seen.');
  const alone = result.setups.filter((setup) => !panels.some((panel) => panel.setup === setup));
  const { domains, plotHeight } = panelDomains(panels.length, { heightPx: 150 });
  const layout: { [name: string]: unknown } = {
    ...baseLayout({ height: plotHeight, margin: { l: 44, r: 10, t: 30, b: 44, pad: 0 } }),
    xaxis: engineSpeedAxis({ anchor: axisName('y', panels.length - 1) }),
    annotations: panels.map(({ setup, pulls }, panel) =>
      levelTitle(`${labelText(setup.name, { longest: 30 })} · ${pulls.length} pulls`, { y: domains[panel]![1] }),
    ),
  };
  panels.forEach((_, panel) => {
    layout[axisName('yaxis', panel)] = axis({
      domain: domains[panel],
      ...(panel === 0 ? {} : { matches: 'y' }),
      nticks: 5,
      ticksuffix: '%',
      showticksuffix: 'last',
      zeroline: true,
      zerolinecolor: 'role:axis',
      zerolinewidth: 1,
    });
  });
  return {
    data: panels.flatMap((panel, place) => panelTraces(panel, axisName('y', place))),
    layout,
    summary: `Power of each pull vs the average of its setup. Average difference: ${panels
      .map(({ setup, pulls }) => `${setup.name}: ${pulls.map(({ pull, place }) => `pull ${place + 1} ${scaleText(pull)}`).join(', ')}`)
      .join('; ')}.`,
    table: {
      columns: ['Setup', 'Pull', 'Log', 'Average difference', 'Least, %', 'Most, %'],
      rows: panels.flatMap(({ setup, pulls }) =>
        pulls.map(({ pull, place, percent }) => {
          const known = percent.filter((value) => value !== null);
          const signed = (value: number): string => numberText(value, 1, { signed: true });
          return [setup.name, String(place + 1), pull.log, scaleText(pull), signed(Math.min(...known)), signed(Math.max(...known))];
        }),
      ),
    },
    key: [
      { label: 'one pull', role: 'text', kind: 'line', dash: 'solid' },
      { label: 'what this adds to the margin', role: 'muted', kind: 'band' },
    ],
    notes: alone.map((setup) => `Not shown: ${setup.name}: fewer than two pulls with a power curve.`),
    status: null,
  };
}

function panelOf(setup: SetupResult, index: number): Panel {
  const curve = setup.curves.wheelPowerW;
  const pulls = setup.pulls.flatMap((pull, place) => {
    const percent = curve === undefined || !pull.used ? [] : percentFrom(curve, pull);
    return percent.some((value) => value !== null) ? [{ pull, place, percent }] : [];
  });
  return { setup, index, pulls };
}

/** Distance from the setup's curve at the engine speeds that both have. */
function percentFrom(curve: CurveResult, { wheelPowerW }: PullResult): Values {
  const places = new Map(curve.engineSpeedRpm.map((rpm, place) => [rpm, place]));
  return wheelPowerW.engineSpeedRpm.map((rpm, index) => {
    const [own, mean] = [wheelPowerW.value[index], curve.value[places.get(rpm) ?? -1]];
    return own === null || own === undefined || mean === null || mean === undefined || mean <= 0 ? null : (own / mean - 1) * 100;
  });
}

function scaleText({ scale }: PullResult): string {
  return scale === null ? 'alone' : `${numberText((scale - 1) * 100, 1, { signed: true })}%`;
}

function panelTraces({ setup, index, pulls }: Panel, yaxis: string): PlotlyObject[] {
  const { role } = setupStyle(index);
  const curve = setup.curves.wheelPowerW!;
  const half = (curve.parts?.pullToPull ?? []).map((width, place) => {
    const mean = curve.value[place];
    return width === null || mean === null || mean === undefined || mean <= 0 ? null : (width / mean) * 100;
  });
  const band = half.some((value) => value !== null)
    ? [
        bandTrace(
          curve.engineSpeedRpm,
          half.map((value) => (value === null ? null : -value)),
          half,
          { role, name: labelText(setup.name), yaxis },
        ),
      ]
    : [];
  return [
    ...band,
    ...pulls.map(({ pull, place, percent }) => ({
      type: 'scatter',
      mode: 'lines',
      x: pull.wheelPowerW.engineSpeedRpm.map(plotNumber),
      y: percent.map((value) => (value === null ? null : Number(value.toFixed(3)))),
      yaxis,
      hovertemplate: '%{y:+.1f} %<extra>%{fullData.name}</extra>',
      line: { color: `role:${role}`, width: 1.3, dash: ['solid', '6px,3px', '2px,2px', '8px,3px,2px,3px'][place % 4]! },
      connectgaps: false,
      showlegend: false,
      name: labelText(`pull ${place + 1}, ${pull.log}`, { longest: 60 }),
    })),
  ];
}
