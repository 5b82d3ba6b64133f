import { numberText } from '@pullproof/core';
import type { Drawing, Trace } from './drawing.js';

/** What a figure shows at one place of its horizontal axis. */
export interface Reading {
  readonly name: string;
  readonly text: string;
  /** Index of the trace, and of its reading. */
  readonly trace: number;
  readonly at: number;
}

/**
 * The readings nearest to a place, one for each line that says something there.
 * @param drawing of the figure
 * @param place on the horizontal axis
 * @param reach how far a reading may lie away from it
 */
export function readingsAt({ data }: Drawing, place: number, reach: number): Reading[] {
  return data.flatMap((trace, index): Reading[] => {
    if (trace.hoverinfo === 'skip' || trace.hovertemplate === undefined || trace.type !== 'scatter') return [];
    const at = nearest(trace, place, reach);
    return at === null ? [] : [{ name: nameOf(trace), text: valueText(trace, at), trace: index, at }];
  });
}

function nearest({ x, y }: Trace, place: number, reach: number): number | null {
  let best: number | null = null;
  let distance = reach;
  x.forEach((value, index) => {
    if (typeof value !== 'number' || y[index] === null || y[index] === undefined) return;
    const away = Math.abs(value - place);
    if (away <= distance) [best, distance] = [index, away];
  });
  return best;
}

function nameOf(trace: Trace): string {
  const extra = /<extra>(.*?)<\/extra>/.exec(trace.hovertemplate ?? '')?.[1];
  return extra === undefined || extra === '%{fullData.name}' ? (trace.name ?? '') : extra;
}

/** Fills in the few placeholders that our figures use. */
function valueText(trace: Trace, at: number): string {
  const number = (value: unknown, format: string | undefined): string => {
    if (typeof value !== 'number') return String(value ?? '');
    const fixed = /\.(\d)f/.exec(format ?? '');
    if (fixed !== null) return numberText(value, Number(fixed[1]), { signed: format?.startsWith('+') === true });
    if (format === ',d') return numberText(value, 0);
    return numberText(value, Math.max(0, 3 - Math.floor(Math.log10(Math.max(1e-3, Math.abs(value))))));
  };
  return (trace.hovertemplate ?? '')
    .replace(/<extra>.*?<\/extra>/, '')
    .replace(/<br>/g, ', ')
    .replace(/%\{(x|y|customdata|text)(?::([^}]*))?\}/g, (_, part: string, format: string | undefined) => {
      if (part === 'customdata') return String(trace.customdata?.[at] ?? '');
      if (part === 'text') return String(trace.text?.[at] ?? '');
      return number(part === 'x' ? trace.x[at] : trace.y[at], format);
    });
}
