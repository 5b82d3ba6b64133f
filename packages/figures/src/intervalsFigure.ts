import { axis, baseLayout } from './baseLayout.js';
import type { DisplayUnit } from './displayUnits.js';
import { emptyFigure, type Figure } from './figure.js';
import { labelText } from './labelText.js';
import { bandText, numberText, plotNumber } from './numberText.js';

/** One number with its bounds, SI. */
export interface Interval {
  readonly label: string;
  readonly value: number;
  /** Null where there is no band. */
  readonly low: number | null;
  readonly high: number | null;
  /** Kinds are told apart by colour and marker; numbered from 0. */
  readonly kind?: number;
}

const kinds = [
  { role: 'setup1', symbol: 'circle' },
  { role: 'setup2', symbol: 'square' },
  { role: 'setup3', symbol: 'diamond' },
] as const;

/**
 * Numbers with their bands side by side, one line each: what overlaps cannot be told apart.
 * @param intervals from top to bottom
 * @param options `title` of the axis with its unit left out; `unit`; `reference` draws a line, such as at zero or one; `kinds` names the kinds for the key; `signed` writes a plus
 * @returns a figure as plain data
 */
export function intervalsFigure(
  intervals: readonly Interval[],
  options: {
    readonly title: string;
    readonly unit: DisplayUnit;
    readonly reference?: number;
    readonly kinds?: readonly string[];
    readonly signed?: boolean;
  },
): Figure {
  const { title, unit, reference, signed = false } = options;
  const known = intervals.filter(({ value }) => Number.isFinite(value));
  if (known.length === 0) return emptyFigure(`Nothing to show: no ${title.toLowerCase()} is known.`);
  const text = ({ value, low, high }: Interval): string =>
    bandText(unit.fromSi(value), low === null ? null : unit.fromSi(low), high === null ? null : unit.fromSi(high), {
      decimals: unit.decimals,
      unit: unit.symbol,
      signed,
    });
  const label = (index: number): string => labelText(known[index]!.label, { longest: 44 });
  const rows = known.map((_, index) => index);
  const used = [...new Set(known.map(({ kind = 0 }) => kind))].sort((a, b) => a - b);
  const levels = `${title}${unit.symbol === '' ? '' : `, ${unit.symbol}`}`;
  return {
    data: used.map((kind) => {
      const { role, symbol } = kinds[kind % kinds.length]!;
      const own = rows.filter((row) => (known[row]!.kind ?? 0) === kind);
      const at = (row: number, bound: 'value' | 'low' | 'high'): number => unit.fromSi(known[row]![bound] ?? known[row]!.value);
      return {
        type: 'scatter',
        mode: 'markers',
        x: own.map((row) => plotNumber(at(row, 'value'))),
        y: own,
        error_x: {
          type: 'data',
          symmetric: false,
          array: own.map((row) => plotNumber(at(row, 'high') - at(row, 'value'))),
          arrayminus: own.map((row) => plotNumber(at(row, 'value') - at(row, 'low'))),
          color: `role:${role}`,
          thickness: 2,
          width: 5,
        },
        marker: { color: `role:${role}`, size: 8, symbol },
        customdata: own.map((row) => `${label(row)}: ${text(known[row]!)}`),
        hovertemplate: '%{customdata}<extra></extra>',
        name: labelText(options.kinds?.[kind] ?? title),
        showlegend: false,
      };
    }),
    layout: baseLayout({
      hovermode: 'closest',
      height: 84 + 44 * known.length,
      margin: { l: 12, r: 14, t: 14, b: 46, pad: 0 },
      xaxis: axis({ title: { text: labelText(levels, { longest: 80 }), font: { size: 13, color: 'role:text' }, standoff: 8 }, nticks: 6 }),
      yaxis: axis({ range: [known.length - 0.5, -0.75], showticklabels: false, ticks: '', showgrid: false, showline: false }),
      // Names stand above their line, so that they cost no width on a phone.
      annotations: rows.map((row) => ({
        text: label(row),
        showarrow: false,
        xref: 'paper',
        x: 0,
        xanchor: 'left',
        y: row - 0.36,
        yanchor: 'middle',
        font: { size: 13, color: 'role:text' },
      })),
      shapes:
        reference === undefined
          ? []
          : [
              {
                type: 'line',
                yref: 'paper',
                y0: 0,
                y1: 1,
                x0: unit.fromSi(reference),
                x1: unit.fromSi(reference),
                line: { color: 'role:muted', width: 1, dash: '3px,3px' },
              },
            ],
    }),
    summary: `${title}. ${known.map((interval) => `${interval.label}: ${text(interval)}`).join('; ')}.`,
    table: {
      columns: ['What', levels, 'Low', 'High'],
      rows: known.map(({ label: name, value, low, high }) => [
        name,
        ...[value, low, high].map((bound) => numberText(bound === null ? null : unit.fromSi(bound), unit.decimals, { signed })),
      ]),
    },
    key: used.map((kind) => ({
      label: options.kinds?.[kind] ?? 'value and margin',
      role: kinds[kind % kinds.length]!.role,
      kind: 'marker',
      symbol: kinds[kind % kinds.length]!.symbol,
    })),
    notes: [],
    status: null,
  };
}
