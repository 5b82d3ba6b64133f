import type { ComparisonResult, Region, TrialResult } from '@pullproof/core';
import { bandTrace } from './bandTraces.js';
import { axis, baseLayout, engineSpeedAxis, levelTitle } from './baseLayout.js';
import { tableSpeeds } from './curveFigure.js';
import { type DisplayUnit, displayUnits, inDisplayUnit } from './displayUnits.js';
import { emptyFigure, type Figure, type FigureTable, type KeyEntry, type PlotlyObject } from './figure.js';
import { bandText, changeBandText, numberText, plotNumber } from './numberText.js';

type Values = readonly (number | null)[];

interface ShownDifference {
  readonly speed: readonly number[];
  readonly difference: Values;
  readonly low: Values;
  readonly high: Values;
  readonly airLow: Values;
  readonly airHigh: Values;
  readonly unit: DisplayUnit;
}

/**
 * The difference of wheel power along engine speed with its band, the verdict of each region, and what air could explain.
 * @param result the trial's result
 * @param options `comparison`: place of the comparison in the result, the first is 0; `commonScale`: one vertical scale for all comparisons against the same setup
 * @returns a figure as plain data; where there is no difference, `status` says why
 */
export function differenceFigure(
  result: TrialResult,
  options: { readonly comparison?: number; readonly commonScale?: boolean } = {},
): Figure {
  const comparison = result.comparisons[options.comparison ?? 0];
  if (comparison === undefined) return emptyFigure('Nothing to compare: the trial needs two setups with a pull each.');
  const { wheelPowerW } = comparison;
  if (!wheelPowerW.difference.some((value) => value !== null)) {
    return emptyFigure(
      wheelPowerW.status ?? `No engine speed at which both ${comparison.before} and ${comparison.after} have power to compare.`,
    );
  }
  const unit = differenceUnit(displayUnits[result.units].power, comparison);
  const show = (values: Values): Values => values.map((value) => inDisplayUnit(value, unit));
  const shown: ShownDifference = {
    speed: wheelPowerW.engineSpeedRpm,
    difference: show(wheelPowerW.difference),
    low: show(wheelPowerW.low),
    high: show(wheelPowerW.high),
    airLow: show(wheelPowerW.airLowW),
    airHigh: show(wheelPowerW.airHighW),
    unit,
  };
  return {
    data: differenceTraces(shown),
    layout: differenceLayout(shown, comparison.regions, options.commonScale === true ? commonRange(result, comparison.before) : null),
    summary: differenceSummary(shown, comparison),
    table: differenceTable(shown),
    key: differenceKey(shown),
    notes: [],
    status: null,
  };
}

/** Tenths are shown only where the band is so narrow that they mean something. */
function differenceUnit(unit: DisplayUnit, { wheelPowerW }: ComparisonResult): DisplayUnit {
  const widths = wheelPowerW.high.flatMap((high, index) => {
    const low = wheelPowerW.low[index];
    return high === null || low === null || low === undefined ? [] : [(unit.fromSi(high) - unit.fromSi(low)) / 2];
  });
  const narrowest = Math.min(...widths);
  return { ...unit, decimals: Number.isFinite(narrowest) && narrowest < 3 ? 1 : unit.decimals };
}

function differenceTraces({ speed, difference, low, high, airLow, airHigh, unit }: ShownDifference): PlotlyObject[] {
  const words = { decimals: unit.decimals, unit: unit.symbol, signed: true };
  const traces = [bandTrace(speed, low, high, { role: 'difference', name: 'Margin', showlegend: true })];
  if (airLow.some((value) => value !== null)) {
    traces.push(bandTrace(speed, airLow, airHigh, { role: 'air', hatched: true, name: 'What the air alone could do', showlegend: true }));
    traces.push({
      type: 'scatter',
      mode: 'lines',
      x: speed.map(plotNumber),
      y: airHigh.map(plotNumber),
      customdata: airHigh.map((value, index) => airText(airLow[index], value, unit)),
      hovertemplate: '%{customdata}<extra>air alone</extra>',
      line: { color: 'role:air', width: 0 },
      showlegend: false,
      name: 'air alone',
      meta: { label: 'air alone' },
    });
  }
  traces.push({
    type: 'scatter',
    mode: 'lines',
    x: speed.map(plotNumber),
    y: difference.map(plotNumber),
    customdata: difference.map((value, index) => bandText(value, low[index], high[index], words)),
    hovertemplate: '%{customdata}<extra>measured</extra>',
    line: { color: 'role:difference', width: 2.6 },
    connectgaps: false,
    name: 'Difference',
    meta: { label: 'measured' },
  });
  return traces;
}

/** What holds the bands of every comparison against one setup, and zero. */
function commonRange(result: TrialResult, before: string): readonly [number, number] | null {
  const { power } = displayUnits[result.units];
  const against = result.comparisons.filter((comparison) => comparison.before === before);
  const watts = against.flatMap(({ wheelPowerW: { low, high, airLowW, airHighW } }) => [...low, ...high, ...airLowW, ...airHighW]);
  const known = watts.filter((value) => value !== null).map(power.fromSi);
  if (known.length === 0) return null;
  const [least, most] = known.reduce(([a, b], value) => [Math.min(a, value), Math.max(b, value)] as const, [0, 0] as readonly [
    number,
    number,
  ]);
  const margin = 0.05 * (most - least);
  return [least - margin, most + margin];
}

function airText(low: number | null | undefined, high: number | null | undefined, unit: DisplayUnit): string {
  const text = (value: number | null | undefined): string => numberText(value, unit.decimals, { signed: true });
  return `${text(low)} to ${text(high)} ${unit.symbol}`;
}

const regionRoles = { gain: 'gain', loss: 'loss', 'no clear change': 'unclear' } as const;

/** The verdict strip above the plot: a filled bar where the difference is clear, a bare line to how far it is still clear of zero, an empty frame where it is not. */
function differenceLayout(
  { speed, difference, unit }: ShownDifference,
  regions: readonly Region[],
  range: readonly [number, number] | null,
): PlotlyObject {
  const known = speed.filter((_, index) => difference[index] !== null && difference[index] !== undefined);
  const [first, last] = [known[0]!, known.at(-1)!];
  const span = Math.max(last - first, 1);
  const strip = { yref: 'paper', layer: 'above' } as const;
  const shapes: PlotlyObject[] = [{ type: 'line', xref: 'paper', x0: 0, x1: 1, y0: 0, y1: 0, line: { color: 'role:text', width: 1.2 } }];
  const annotations: PlotlyObject[] = [levelTitle(`${unit.symbol} gained at the wheels; shaded: margin`, { y: 1.085 })];
  for (const region of regions) {
    const role = regionRoles[region.verdict];
    const clear = region.verdict !== 'no clear change';
    if (clear) {
      shapes.push({
        type: 'line',
        ...strip,
        x0: region.clearFromRpm,
        x1: region.clearToRpm,
        y0: 1.043,
        y1: 1.043,
        line: { color: `role:${role}`, width: 2 },
      });
    }
    shapes.push({
      type: 'rect',
      ...strip,
      x0: region.fromRpm,
      x1: region.toRpm,
      y0: 1.01,
      y1: 1.076,
      fillcolor: clear ? `role:${role}` : 'role:page',
      line: { color: `role:${role}`, width: 1 },
    });
    const share = (region.toRpm - region.fromRpm) / span;
    const text =
      region.verdict === 'no clear change'
        ? share > 0.34
          ? 'no clear change'
          : share > 0.2
            ? 'not clear'
            : ''
        : share > 0.13
          ? region.verdict
          : '';
    if (text !== '') {
      annotations.push({
        text,
        showarrow: false,
        x: (region.fromRpm + region.toRpm) / 2,
        yref: 'paper',
        y: 1.043,
        yanchor: 'middle',
        font: { size: 13, color: clear ? 'role:page' : `role:${role}` },
      });
    }
  }
  return baseLayout({
    xaxis: engineSpeedAxis({ range: [first - span * 0.02, last + span * 0.02] }),
    yaxis: axis({ tickformat: '~f', ...(range === null ? { rangemode: 'tozero' } : { range }) }),
    margin: { l: 44, r: 10, t: 50, b: 44, pad: 0 },
    height: 350,
    shapes,
    annotations,
  });
}

function differenceKey({ airLow }: ShownDifference): KeyEntry[] {
  return [
    { label: 'difference', role: 'difference', kind: 'line', dash: 'solid' },
    { label: 'margin', role: 'difference', kind: 'band' },
    ...(airLow.some((value) => value !== null) ? [{ label: 'what the air alone could do', role: 'air', kind: 'hatch' } as const] : []),
  ];
}

/** A region as a sentence: `gain from 2,900 to 4,700 rpm: +11 hp (+4 to +18)`. */
export function regionText(region: Region, unit: DisplayUnit): string {
  const text = changeBandText(unit.fromSi(region.meanW), unit.fromSi(region.lowW), unit.fromSi(region.highW), unit.symbol);
  return `${region.verdict} from ${numberText(region.fromRpm, 0)} to ${numberText(region.toRpm, 0)} rpm: ${text}`;
}

function differenceSummary({ speed, difference, low, high, airLow, airHigh, unit }: ShownDifference, comparison: ComparisonResult): string {
  const words = { decimals: unit.decimals, unit: unit.symbol, signed: true };
  const places = difference.flatMap((value, index) => (value === null ? [] : [index]));
  const value = (index: number): number => difference[index] ?? 0;
  const [most, least] = [places.reduce((a, b) => (value(b) > value(a) ? b : a)), places.reduce((a, b) => (value(b) < value(a) ? b : a))];
  const at = (index: number): string =>
    `${bandText(difference[index], low[index], high[index], words)} at ${numberText(speed[index], 0)} rpm`;
  const { level, simultaneous } = comparison.wheelPowerW;
  const finite = (values: Values): number[] => values.filter((item) => item !== null);
  const air = [...finite(airLow), ...finite(airHigh)];
  return [
    `Difference in power at the wheels, ${comparison.after} vs ${comparison.before}, from ${numberText(speed[places[0]!], 0)} to ${numberText(speed[places.at(-1)!], 0)} rpm.`,
    `Highest ${at(most)}, lowest ${at(least)}.`,
    `The shaded band covers ${simultaneous ? 'the whole true line' : 'the true value at any one rpm'} in ${numberText(level * 100, 0)} of 100 such trials.`,
    ...(comparison.regions.length === 0 ? [] : [`By region: ${comparison.regions.map((region) => regionText(region, unit)).join('; ')}.`]),
    air.length === 0
      ? 'What the air alone could do is not known.'
      : `The air alone could do ${airText(Math.min(...air), Math.max(...air), unit)}.`,
  ].join(' ');
}

function differenceTable({ speed, difference, low, high, airLow, airHigh, unit }: ShownDifference): FigureTable {
  const places = new Map(speed.map((value, index) => [value, index]));
  return {
    columns: [
      'Engine speed, rpm',
      `Difference, ${unit.symbol}`,
      `Low, ${unit.symbol}`,
      `High, ${unit.symbol}`,
      `The air alone, ${unit.symbol}`,
    ],
    rows: tableSpeeds(speed).map((rpm) => {
      const index = places.get(rpm)!;
      const text = (values: Values): string => numberText(values[index], unit.decimals, { signed: true });
      const air = airLow[index] === null || airLow[index] === undefined ? '–' : `${text(airLow)} to ${text(airHigh)}`;
      return [numberText(rpm, 0), text(difference), text(low), text(high), air];
    }),
  };
}
