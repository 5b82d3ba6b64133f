import type { PlotlyObject } from './figure.js';
import { plotNumber } from './numberText.js';

type Values = readonly (number | null)[];

/**
 * Outline of a band as one polygon for each unbroken stretch, so that a gap in the data is a gap in the picture.
 * @param x positions, finite
 * @param low lower bounds, null where there is none
 * @param high upper bounds, null where there is none
 * @returns plot coordinates; polygons are set apart by null
 */
export function bandOutline(
  x: readonly number[],
  low: readonly (number | null)[],
  high: readonly (number | null)[],
): { readonly x: (number | null)[]; readonly y: (number | null)[] } {
  const outline = { x: [] as (number | null)[], y: [] as (number | null)[] };
  let start = 0;
  const isKnown = (index: number): boolean => Number.isFinite(low[index] ?? Number.NaN) && Number.isFinite(high[index] ?? Number.NaN);
  while (start < x.length) {
    if (!isKnown(start)) {
      start += 1;
      continue;
    }
    let end = start;
    while (end < x.length && isKnown(end)) end += 1;
    if (outline.x.length > 0) {
      outline.x.push(null);
      outline.y.push(null);
    }
    for (let index = start; index < end; index += 1) {
      outline.x.push(plotNumber(x[index]));
      outline.y.push(plotNumber(high[index]));
    }
    for (let index = end - 1; index >= start; index -= 1) {
      outline.x.push(plotNumber(x[index]));
      outline.y.push(plotNumber(low[index]));
    }
    start = end;
  }
  return outline;
}

/** A band as a filled area with a thin edge; the edge keeps it visible on paper. */
export function bandTrace(
  x: readonly number[],
  low: Values,
  high: Values,
  options: { readonly role: string; readonly hatched?: boolean; readonly alpha?: number; readonly name: string } & PlotlyObject,
): PlotlyObject {
  const { role, hatched, name, alpha, ...rest } = options;
  return {
    type: 'scatter',
    mode: 'lines',
    ...bandOutline(x, low, high),
    fill: 'toself',
    ...(hatched === true
      ? {
          fillcolor: `role:${role}/0`,
          fillpattern: { shape: '/', size: 7, solidity: 0.18, fgcolor: `role:${role}`, bgcolor: `role:${role}/0` },
        }
      : { fillcolor: `role:${role}/${alpha ?? 0.16}` }),
    line: { color: `role:${role}/0.55`, width: hatched === true ? 0.6 : 0.8 },
    hoverinfo: 'skip',
    showlegend: false,
    name,
    ...rest,
  };
}
