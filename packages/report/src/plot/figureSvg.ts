import type { Annotation, Drawing, Shape } from './drawing.js';
import { endLabels, roomForLabels } from './endLabels.js';
import { axisFont, type Frame, frameOf, type Panel, panelTraces, type View } from './frame.js';
import { fill, px, stroke, textAt } from './paint.js';
import { ticksBy, ticksWithin, tickTexts } from './ticks.js';
import { traceMarks } from './traceMarks.js';

/** A figure as it was drawn: markup, and where things stand in it. */
export interface DrawnFigure {
  readonly svg: string;
  readonly frame: Frame;
}

/**
 * Draws a figure as SVG. Colours are classes of the style sheet, so that light, dark and paper need no second drawing.
 * @param drawing what plotly would be given
 * @param view width in px, the part that is shown, setups that are switched off
 * @returns markup of one `svg` element, and the places of its axes
 */
export function drawFigure(drawing: Drawing, view: View): DrawnFigure {
  const { hidden } = view;
  const shown: Drawing =
    hidden === undefined || hidden.size === 0
      ? drawing
      : { ...drawing, data: drawing.data.filter(({ meta }) => meta?.setup === undefined || !hidden.has(meta.setup)) };
  const frame = frameOf(shown, { ...view, endRoom: roomForLabels(shown.data, view.width) });
  const id = `clip-${frame.panels.length}-${px(frame.left)}-${px(frame.right)}-${px(frame.height)}`.replace(/\./g, '_');
  const clip = `<clipPath id="${id}"><rect x="${px(frame.left)}" y="0" width="${px(frame.right - frame.left)}" height="${px(frame.height)}"/></clipPath>`;
  const parts = [clip];
  for (const panel of frame.panels) parts.push(gridOf(panel, frame));
  parts.push(acrossAxis(drawing, frame));
  const shapes = drawing.layout.shapes ?? [];
  parts.push(`<g clip-path="url(#${id})">`);
  for (const shape of shapes) if (shape.layer === 'below') parts.push(shapeMarks(shape, frame, drawing));
  const bars = shown.data.filter(({ type }) => type === 'bar').length;
  let bar = 0;
  for (const panel of frame.panels)
    for (const trace of panelTraces(shown.data, panel.name)) {
      parts.push(traceMarks(trace, panel, frame, trace.type === 'bar' ? bars * 16 + bar : 0));
      if (trace.type === 'bar') bar += 1;
    }
  for (const shape of shapes) if (shape.layer !== 'below') parts.push(shapeMarks(shape, frame, drawing));
  parts.push('</g>', endLabels(shown.data, frame, drawing.layout.keyed === true));
  for (const annotation of drawing.layout.annotations ?? []) parts.push(annotationMarks(annotation, frame, drawing));
  const size = `width="${px(frame.width)}" height="${px(frame.height)}" viewBox="0 0 ${px(frame.width)} ${px(frame.height)}"`;
  return { svg: `<svg class="figure" ${size} aria-hidden="true">${parts.join('')}</svg>`, frame };
}

function gridOf(panel: Panel, frame: Frame): string {
  const { axis } = panel;
  const parts: string[] = [];
  if (frame.categories.length > 0) {
    frame.categories.forEach((name, row) => {
      const most = Math.floor((frame.left - 12) / 6.6);
      const shown = name.length > most ? `${name.slice(0, most - 1)}…` : name;
      parts.push(textAt(frame.left - 7, panel.toPx(row) + 4.5, shown, { role: 'muted', anchor: 'end' }));
    });
    return parts.join('');
  }
  if (axis.showgrid === false && axis.showticklabels === false) return '';
  const isClear = (tick: number): boolean => panel.toPx(tick) >= panel.top + 6 || panel.bottom - panel.top <= 60;
  const ticks = verticalTicks(panel, isClear);
  const texts = tickTexts(ticks, axis.tickformat);
  const last = ticks.findLastIndex(isClear);
  ticks.forEach((tick, index) => {
    const y = panel.toPx(tick);
    const isZero = tick === 0 && axis.zeroline === true;
    parts.push(`<path d="M${px(frame.left)} ${px(y)}H${px(frame.right)}"${stroke(isZero ? 'role:axis' : 'role:grid', 1)}/>`);
    // The title of the axis stands right above the panel.
    if (!isClear(tick)) return;
    const suffix = index === last ? (axis.ticksuffix ?? '') : '';
    parts.push(textAt(frame.left - 7, y + 4.5, `${texts[index]!}${suffix}`, { role: 'muted', anchor: 'end' }));
  });
  parts.push(`<path d="M${px(frame.left)} ${px(panel.top)}V${px(panel.bottom)}"${stroke('role:axis', 1)}/>`);
  return parts.join('');
}

/** Round numbers, at least two of them where they can be read. */
function verticalTicks({ axis, low, high, top, bottom }: Panel, isClear: (tick: number) => boolean): number[] {
  const [least, most] = [Math.min(low, high), Math.max(low, high)];
  let about = Math.min(axis.nticks ?? 6, Math.max(2, Math.floor((bottom - top) / 28)));
  let ticks = ticksWithin(least, most, about);
  while (ticks.filter(isClear).length < 2 && about < 8) {
    about += 1;
    ticks = ticksWithin(least, most, about);
  }
  return ticks;
}

function acrossAxis({ layout }: Drawing, frame: Frame): string {
  const axis = layout.xaxis ?? {};
  const bottom = Math.max(...frame.panels.map((panel) => panel.bottom));
  const about = Math.min(axis.nticks ?? 8, Math.max(2, Math.floor((frame.right - frame.left) / 76)));
  const ticks =
    axis.tickvals ?? (axis.dtick === undefined ? ticksWithin(frame.low, frame.high, about) : ticksBy(frame.low, frame.high, axis.dtick));
  const texts = axis.ticktext ?? tickTexts(ticks, axis.tickformat);
  const parts: string[] = [];
  let lastEnd = Number.NEGATIVE_INFINITY;
  ticks.forEach((tick, index) => {
    if (tick < frame.low - 1e-9 || tick > frame.high + 1e-9) return;
    const x = frame.toPx(tick);
    for (const panel of frame.panels) parts.push(`<path d="M${px(x)} ${px(panel.top)}V${px(panel.bottom)}"${stroke('role:grid', 1)}/>`);
    const half = 3.7 * texts[index]!.length;
    if (x - half < lastEnd + 4) return;
    lastEnd = x + half;
    parts.push(textAt(x, bottom + axisFont + 5, texts[index]!, { role: 'muted', anchor: x + half > frame.width ? 'end' : 'middle' }));
  });
  for (const panel of frame.panels)
    parts.push(`<path d="M${px(frame.left)} ${px(panel.bottom)}H${px(frame.right)}"${stroke('role:axis', 1)}/>`);
  const title = axis.title?.text;
  if (title !== undefined)
    parts.push(textAt((frame.left + frame.right) / 2, bottom + 2 * axisFont + 12, title, { role: 'text', anchor: 'middle' }));
  return parts.join('');
}

/** Places of `paper` are shares of the whole plot, those of an axis are its values. */
function across(value: number, reference: string | undefined, frame: Frame): number {
  return reference === 'paper' ? frame.left + value * (frame.right - frame.left) : frame.toPx(value);
}

function upright(value: number, reference: string | undefined, frame: Frame, { layout }: Drawing): number {
  if (reference === 'paper') {
    const margin = layout.margin ?? { t: 34, b: 44 };
    return margin.t + (1 - value) * (frame.height - margin.t - margin.b);
  }
  return (frame.panels.find(({ name }) => name === (reference ?? 'y')) ?? frame.panels[0]!).toPx(value);
}

function shapeMarks(shape: Shape, frame: Frame, drawing: Drawing): string {
  const [x0, x1] = [across(shape.x0, shape.xref, frame), across(shape.x1, shape.xref, frame)];
  const [y0, y1] = [upright(shape.y0, shape.yref, frame, drawing), upright(shape.y1, shape.yref, frame, drawing)];
  const line = stroke(shape.line?.color, shape.line?.width ?? 1, shape.line?.dash);
  if (shape.type === 'line') return `<path d="M${px(x0)} ${px(y0)}L${px(x1)} ${px(y1)}"${line}/>`;
  const box = `x="${px(Math.min(x0, x1))}" y="${px(Math.min(y0, y1))}" width="${px(Math.abs(x1 - x0))}" height="${px(Math.abs(y1 - y0))}"`;
  const inside = shape.fillcolor === undefined ? '' : `<rect ${box}${fill(shape.fillcolor)}/>`;
  return line === '' ? inside : `${inside}<rect ${box} fill="none"${line}/>`;
}

function annotationMarks(annotation: Annotation, frame: Frame, drawing: Drawing): string {
  const atLeft = annotation.xref === 'paper' && annotation.x === 0;
  const x = atLeft ? 2 : across(annotation.x, annotation.xref, frame);
  const y = upright(annotation.y, annotation.yref, frame, drawing) - (annotation.yshift ?? 0);
  const inside = annotation.xref === 'paper' || (x >= frame.left && x <= frame.right);
  if (annotation.text === '' || !inside) return '';
  const anchor = annotation.xanchor === 'left' ? 'start' : annotation.xanchor === 'right' ? 'end' : 'middle';
  const role = /^role:([a-z0-9]+)/i.exec(annotation.font?.color ?? '')?.[1] ?? 'text';
  const room = anchor === 'start' ? frame.width - x : anchor === 'end' ? x : 2 * Math.min(x, frame.width - x);
  const lines = wrapped(annotation.text, Math.floor(room / 6.7));
  const lineHeight = 16;
  const foot = annotation.yanchor === 'middle' ? y + 4.5 : annotation.yanchor === 'top' ? y + axisFont : y - 1;
  return lines
    .map((line, index) =>
      textAt(x, foot - (lines.length - 1 - index) * lineHeight, line, { role, anchor, halo: annotation.yanchor === 'middle' && atLeft }),
    )
    .join('');
}

function wrapped(text: string, most: number): string[] {
  const lines: string[] = [];
  for (const word of text.split(' ')) {
    const last = lines.at(-1);
    if (last !== undefined && last.length + 1 + word.length <= most) lines[lines.length - 1] = `${last} ${word}`;
    else lines.push(word);
  }
  return lines;
}
