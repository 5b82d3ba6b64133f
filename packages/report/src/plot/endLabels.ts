import type { Trace } from './drawing.js';
import { type Frame, panelTraces } from './frame.js';
import { px, stroke, textAt } from './paint.js';

/** From this width on names stand behind the ends of the lines; below it, above them. */
const wideEnoughPx = 560;
const lineHeight = 15;
const letterPx = 6.9;
const swatchPx = 22;
const longestLabel = 24;

function labelOf({ meta }: Trace): string {
  const text = meta?.label ?? '';
  return text.length > longestLabel ? `${text.slice(0, longestLabel - 1)}…` : text;
}

/** Room to the right of the plot for the names of its lines, px. */
export function roomForLabels(data: readonly Trace[], width: number): number {
  const longest = Math.max(0, ...data.map((trace) => labelOf(trace).length));
  return longest === 0 || width < wideEnoughPx ? 0 : longest * letterPx + 14;
}

/** Names at the ends of their lines: behind them where there is room, in a row above the plot's floor on a phone. */
export function endLabels(data: readonly Trace[], frame: Frame, keyed: boolean): string {
  const named = data.filter((trace) => labelOf(trace) !== '');
  if (named.length === 0) return '';
  if (frame.width >= wideEnoughPx) return atEnds(named, frame);
  return keyed ? '' : inRow(named, frame);
}

function atEnds(named: readonly Trace[], frame: Frame): string {
  const places = frame.panels.flatMap((panel) =>
    panelTraces(named, panel.name).flatMap((trace) => {
      const end = trace.y.findLastIndex(
        (y, index) => typeof y === 'number' && typeof trace.x[index] === 'number' && (trace.x[index] as number) <= frame.high,
      );
      if (end < 0) return [];
      const y = panel.toPx(trace.y[end] as number);
      return [{ trace, y: Math.min(panel.bottom, Math.max(panel.top + 8, y)), bottom: panel.bottom }];
    }),
  );
  places.sort((a, b) => a.y - b.y);
  for (let index = 1; index < places.length; index += 1) {
    const least = places[index - 1]!.y + lineHeight;
    if (places[index]!.y < least) places[index] = { ...places[index]!, y: least };
  }
  const over = places.length === 0 ? 0 : Math.max(0, places.at(-1)!.y - places.at(-1)!.bottom - 4);
  return places.map(({ trace, y }) => textAt(frame.right + 8, y - over + 4.5, labelOf(trace), { role: 'text' })).join('');
}

/** A row of names with a piece of their line, below the title of the axis. */
function inRow(named: readonly Trace[], frame: Frame): string {
  const top = Math.min(...frame.panels.map((panel) => panel.top)) + 12;
  const parts: string[] = [];
  let right = frame.right - 4;
  let line = 0;
  for (const trace of [...named].reverse()) {
    const text = labelOf(trace);
    const wide = text.length * letterPx + swatchPx + 8;
    if (right - wide < frame.left && right < frame.right - 4) {
      line += 1;
      right = frame.right - 4;
    }
    const y = top + line * (lineHeight + 2);
    const start = right - wide + 8;
    parts.push(`<path d="M${px(start)} ${px(y - 4)}h${swatchPx - 5}"${stroke(trace.line?.color, 2.4, trace.line?.dash)}/>`);
    parts.push(textAt(start + swatchPx, y, text, { role: 'text', halo: true }));
    right = start - 8;
  }
  return parts.join('');
}
