import type { CurveResult, SetupResult, TrialResult } from '@pullproof/core';
import { bandTrace } from './bandTraces.js';
import { axis, baseLayout, engineSpeedAxis, levelTitle } from './baseLayout.js';
import { type DisplayUnit, inDisplayUnit } from './displayUnits.js';
import { emptyFigure, type Figure, type FigureTable, type KeyEntry, type PlotlyObject } from './figure.js';
import { labelText } from './labelText.js';
import { bandText, numberText, plotNumber } from './numberText.js';
import { setupStyle } from './palette.js';

export type CurveName = keyof SetupResult['curves'];

/** How a figure of curves shows them. */
export interface CurvesOptions {
  /** Plain name, for example `Wheel power`. */
  readonly title: string;
  readonly unit: DisplayUnit;
  /** Level lines across the figure, value in SI. */
  readonly levels?: readonly { readonly valueSi: number; readonly label: string }[];
  /** True where the axis should start at zero. */
  readonly fromZero?: boolean;
  readonly tickFormat?: string;
}

/** What a figure of setups' curves shows, and how. */
export interface CurveFigureOptions extends CurvesOptions {
  readonly curve: CurveName;
}

/** A curve under a name; `place` gives its style. Without a curve `status` says why. */
export interface NamedCurve {
  readonly name: string;
  readonly place: number;
  readonly curve: CurveResult | null;
  readonly status?: string;
}

interface DrawnCurve {
  readonly name: string;
  readonly place: number;
  readonly curve: CurveResult;
}

/**
 * One quantity of every setup against engine speed, with bands.
 * @param result the trial's result
 * @param options which curve, its name and unit
 * @returns a figure; setups without the curve are named in the summary, and a figure with no curve at all says why in `status`
 */
export function curveFigure(result: TrialResult, options: CurveFigureOptions): Figure {
  return curvesFigure(
    result.setups.map(({ name, curves }, place) => ({ name, place, curve: curves[options.curve] ?? null })),
    options,
  );
}

/**
 * Curves of one quantity against engine speed, with bands.
 * @param curves each with its name and place
 * @param options name of the quantity, its unit, and how it is shown
 * @returns a figure; curves without a value are named in the summary, and a figure with no curve at all says why in `status`
 */
export function curvesFigure(curves: readonly NamedCurve[], options: CurvesOptions): Figure {
  const drawn: DrawnCurve[] = [];
  const missing: string[] = [];
  for (const { name, place, curve, status } of curves) {
    if (curve?.value.some((value) => value !== null)) drawn.push({ name, place, curve });
    else missing.push(`${name}: ${status ?? curve?.status ?? 'no readings in the pulls used'}`);
  }
  if (drawn.length === 0)
    return emptyFigure(`No curve of ${options.title.toLowerCase()} to show. ${missing.join('; ')}${missing.length > 0 ? '.' : ''}`);
  return {
    data: drawn.flatMap((item) => curveTraces(item, { ...options, alpha: 0.3 / (1 + drawn.length) })),
    layout: curveLayout(options),
    summary: curveSummary(drawn, missing, options),
    table: curveTable(drawn, options),
    key: curveKey(drawn),
    notes: missing.map((text) => `Not shown: ${text}.`),
    status: null,
  };
}

function curveTraces(
  { name, place: index, curve }: DrawnCurve,
  { unit, alpha }: CurvesOptions & { readonly alpha: number },
): PlotlyObject[] {
  const style = setupStyle(index);
  const shown = (values: readonly (number | null)[]): (number | null)[] => values.map((value) => inDisplayUnit(value, unit));
  const [value, low, high] = [shown(curve.value), shown(curve.low), shown(curve.high)];
  const label = labelText(name);
  // A result that does not say which points rest on a ceiling means the whole curve.
  const bounds = curve.boundAt ?? curve.value.map(() => curve.bound);
  const bound = (place: number): string =>
    bounds[place] === null || bounds[place] === undefined ? '' : `${bounds[place].replace('-', ' ')} `;
  return [
    bandTrace(curve.engineSpeedRpm, low, high, {
      role: style.role,
      name: `${label}, margin`,
      legendgroup: label,
      meta: { setup: index },
      alpha: Number(alpha.toFixed(2)),
    }),
    {
      type: 'scatter',
      mode: 'lines+markers',
      x: curve.engineSpeedRpm.map(plotNumber),
      y: value.map(plotNumber),
      customdata: value.map(
        (at, place) => bound(place) + bandText(at, low[place], high[place], { decimals: unit.decimals, unit: unit.symbol }),
      ),
      hovertemplate: '%{customdata}<extra>%{fullData.name}</extra>',
      line: { color: `role:${style.role}`, width: 2.2, dash: style.dash },
      marker: { symbol: style.symbol, size: 7, color: `role:${style.role}`, maxdisplayed: 10 },
      connectgaps: false,
      name: label,
      legendgroup: label,
      meta: { setup: index, label },
    },
  ];
}

function curveLayout({ title, unit, levels, fromZero, tickFormat }: CurvesOptions): PlotlyObject {
  const shown = (levels ?? []).map((level) => ({ y: plotNumber(inDisplayUnit(level.valueSi, unit)), label: level.label }));
  return baseLayout({
    xaxis: engineSpeedAxis(),
    yaxis: axis({ ...(fromZero === true ? { rangemode: 'tozero' } : {}), ...(tickFormat === undefined ? {} : { tickformat: tickFormat }) }),
    annotations: [
      levelTitle(unit.symbol === '' ? title : `${title}, ${unit.symbol}`),
      ...shown.map(({ y, label }) => ({
        text: labelText(label),
        showarrow: false,
        xref: 'paper',
        x: 1,
        y,
        xanchor: 'right',
        yanchor: 'bottom',
        font: { size: 13, color: 'role:muted' },
      })),
    ],
    shapes: shown.map(({ y }) => ({
      type: 'line',
      xref: 'paper',
      x0: 0,
      x1: 1,
      y0: y,
      y1: y,
      line: { color: 'role:muted', width: 1, dash: '3px,3px' },
    })),
  });
}

function curveKey(drawn: readonly DrawnCurve[]): KeyEntry[] {
  return drawn.map(({ name, place, curve }) => {
    const { role, dash, symbol } = setupStyle(place);
    return {
      label:
        curve.bound === 'at-least' ? `${name} (${curve.boundAt === undefined ? 'at least' : 'in part at least'}: sensor pegged)` : name,
      role,
      kind: 'line',
      dash,
      symbol,
    };
  });
}

function curveSummary(drawn: readonly DrawnCurve[], missing: readonly string[], { title, unit }: CurvesOptions): string {
  const sentences = drawn.map(({ name, curve }) => {
    const peak = curve.value.reduce<number>(
      (best, value, index) => (value !== null && value > (curve.value[best] ?? Number.NEGATIVE_INFINITY) ? index : best),
      0,
    );
    const shown = [curve.value, curve.low, curve.high].map((values) => inDisplayUnit(values[peak] ?? null, unit));
    return `${name}: largest ${bandText(shown[0], shown[1], shown[2], { decimals: unit.decimals, unit: unit.symbol })} at ${numberText(curve.engineSpeedRpm[peak], 0)} rpm.`;
  });
  const band = drawn[0]!.curve;
  const level = `Each shaded band covers ${band.simultaneous ? 'the whole true line' : 'the true value at any one rpm'} in ${numberText(band.level * 100, 0)} of 100 such trials.`;
  const left = missing.length === 0 ? [] : [`Not shown: ${missing.join('; ')}.`];
  return [`${title} against engine speed.`, ...sentences, level, ...left].join(' ');
}

function curveTable(drawn: readonly DrawnCurve[], { unit }: CurvesOptions): FigureTable {
  const speeds = [...new Set(drawn.flatMap(({ curve }) => curve.engineSpeedRpm))].sort((left, right) => left - right);
  const places = drawn.map(({ curve }) => new Map(curve.engineSpeedRpm.map((speed, index) => [speed, index])));
  return {
    columns: ['Engine speed, rpm', ...drawn.map(({ name }) => (unit.symbol === '' ? name : `${name}, ${unit.symbol}`))],
    rows: tableSpeeds(speeds).map((speed) => [
      numberText(speed, 0),
      ...drawn.map(({ curve }, item) => {
        const at = places[item]!.get(speed);
        if (at === undefined) return '–';
        const [value, low, high] = [curve.value, curve.low, curve.high].map((values) => inDisplayUnit(values[at] ?? null, unit));
        const bound = curve.boundAt?.[at] ?? null;
        const text = bandText(value, low, high, { decimals: unit.decimals, unit: '' });
        return bound === null ? text : `${bound.replace('-', ' ')} ${text}`;
      }),
    ]),
  };
}

const longestTable = 48;

/** The engine speeds that a table shows: all of them, or those on the finest of 100, 250, 500 or 1,000 rpm that keeps the table readable. */
export function tableSpeeds(speeds: readonly number[]): readonly number[] {
  if (speeds.length <= longestTable) return speeds;
  for (const step of [100, 250, 500, 1000]) {
    const kept = speeds.filter((speed) => Math.abs(speed / step - Math.round(speed / step)) < 1e-9);
    if (kept.length > 1 && kept.length <= longestTable) return kept;
  }
  const every = Math.ceil(speeds.length / longestTable);
  return speeds.filter((_, index) => index % every === 0);
}
