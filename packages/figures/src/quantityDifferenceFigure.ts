import type { DifferenceCurve, TrialResult } from '@pullproof/core';
import { bandTrace } from './bandTraces.js';
import { axis, baseLayout, engineSpeedAxis, levelTitle } from './baseLayout.js';
import { tableSpeeds } from './curveFigure.js';
import { type DisplayUnit, displayUnits, inDisplayUnit, plainUnit } from './displayUnits.js';
import { emptyFigure, type Figure } from './figure.js';
import { bandText, numberText, plotNumber } from './numberText.js';

/** Pressures whose difference can be shown. */
export type DifferenceQuantity = 'manifoldPressurePa' | 'boostPa' | 'pressureRatio';

/**
 * Difference of a pressure between two setups along engine speed, with its band. Where a sensor was at its ceiling nothing is drawn.
 * @param result the trial's result
 * @param options `comparison`: place of the comparison in the result; `quantity`: which pressure
 * @returns a figure as plain data; `status` says why where there is none
 */
export function quantityDifferenceFigure(
  result: TrialResult,
  options: { readonly comparison: number; readonly quantity: DifferenceQuantity },
): Figure {
  const comparison = result.comparisons[options.comparison];
  const curve = comparison?.pressure?.[options.quantity];
  if (comparison === undefined || curve === undefined) return emptyFigure('Manifold pressure was not logged in the pulls of both setups.');
  if (curve.difference.every((value) => value === null))
    return emptyFigure(curve.status ?? 'No engine speed at which both can be compared.');
  const units = displayUnits[result.units];
  const shown: { readonly title: string; readonly unit: DisplayUnit } = {
    manifoldPressurePa: { title: 'Difference in manifold pressure', unit: units.pressure },
    boostPa: { title: 'Difference in boost', unit: units.pressure },
    pressureRatio: { title: 'Difference in pressure ratio', unit: plainUnit('', 3) },
  }[options.quantity];
  return differenceOf(curve, shown.title, shown.unit, `${comparison.after} vs ${comparison.before}`);
}

function differenceOf(curve: DifferenceCurve, title: string, unit: DisplayUnit, who: string): Figure {
  const show = (values: DifferenceCurve['difference']): (number | null)[] => values.map((value) => inDisplayUnit(value, unit));
  const [difference, low, high] = [show(curve.difference), show(curve.low), show(curve.high)];
  const words = { decimals: unit.decimals, unit: unit.symbol, signed: true };
  const hidden = curve.ceiling.filter((flag) => flag === 1).length;
  const known = difference.flatMap((value, index) => (value === null ? [] : [index]));
  const middle = known[known.length >> 1]!;
  const text = bandText(difference[middle], low[middle], high[middle], words);
  const axisTitle = unit.symbol === '' ? title : `${title}, ${unit.symbol}`;
  const notes = [
    ...(curve.status === null ? [] : [curve.status]),
    ...(hidden === 0 ? [] : ['Where a sensor was pegged no difference is claimed, and none is drawn.']),
  ];
  return {
    data: [
      bandTrace(curve.engineSpeedRpm, low, high, { role: 'difference', name: 'Margin' }),
      {
        type: 'scatter',
        mode: 'lines',
        x: curve.engineSpeedRpm.map(plotNumber),
        y: difference.map(plotNumber),
        customdata: difference.map((value, index) => bandText(value, low[index], high[index], words)),
        hovertemplate: '%{customdata}<extra>difference</extra>',
        line: { color: 'role:difference', width: 2.6 },
        connectgaps: false,
        name: 'Difference',
      },
    ],
    layout: baseLayout({
      height: 280,
      xaxis: engineSpeedAxis(),
      yaxis: axis({ rangemode: 'tozero', tickformat: '~f' }),
      annotations: [levelTitle(axisTitle)],
      shapes: [{ type: 'line', xref: 'paper', x0: 0, x1: 1, y0: 0, y1: 0, line: { color: 'role:text', width: 1.2 } }],
    }),
    summary: [
      `${title}, ${who}: ${text} at ${numberText(curve.engineSpeedRpm[middle], 0)} rpm.`,
      `The shaded band covers ${curve.simultaneous ? 'the whole true line' : 'the true value at any one rpm'} in ${numberText(curve.level * 100, 0)} of 100 such trials.`,
      ...notes,
    ].join(' '),
    table: {
      columns: ['Engine speed, rpm', axisTitle, 'Low', 'High'],
      rows: tableSpeeds(curve.engineSpeedRpm).map((rpm) => {
        const at = curve.engineSpeedRpm.indexOf(rpm);
        return [numberText(rpm, 0), ...[difference, low, high].map((values) => numberText(values[at], unit.decimals, { signed: true }))];
      }),
    },
    key: [
      { label: 'difference', role: 'difference', kind: 'line', dash: 'solid' },
      ...(low.some((value) => value !== null) ? [{ label: 'margin', role: 'difference', kind: 'band' } as const] : []),
    ],
    notes,
    status: null,
  };
}
