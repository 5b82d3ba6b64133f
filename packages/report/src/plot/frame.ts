import type { Axis, Drawing, Place, Trace } from './drawing.js';

/** One stack of the figure: a vertical axis with its place on the screen. */
export interface Panel {
  /** `y`, `y2`, … as the traces name it. */
  readonly name: string;
  readonly axis: Axis;
  readonly top: number;
  readonly bottom: number;
  readonly low: number;
  readonly high: number;
  readonly toPx: (value: number) => number;
}

/** Where everything stands: sizes in px, axes in the units of the figure. */
export interface Frame {
  readonly width: number;
  readonly height: number;
  readonly left: number;
  readonly right: number;
  readonly low: number;
  readonly high: number;
  readonly toPx: (value: number) => number;
  readonly fromPx: (px: number) => number;
  readonly panels: readonly Panel[];
  /** Names on a vertical axis that counts names; empty where it counts numbers. */
  readonly categories: readonly string[];
}

/** How a figure is looked at. */
export interface View {
  readonly width: number;
  /** Part of the horizontal axis that is shown; all of it when left out. */
  readonly range?: readonly [number, number] | undefined;
  /** Setups that are switched off. */
  readonly hidden?: ReadonlySet<number> | undefined;
  /** Room for words at the ends of the lines, px. */
  readonly endRoom?: number;
}

export const axisFont = 13;

/** Sets out a figure: ranges of the axes, and where they stand. */
export function frameOf({ data, layout }: Drawing, view: View): Frame {
  const margin = layout.margin ?? { l: 44, r: 10, t: 34, b: 44 };
  const categories = [...new Set(data.flatMap(({ y }) => y.filter((one) => typeof one === 'string')))];
  const across = horizontalRange(data, layout.xaxis);
  const [low, high] = view.range ?? across;
  const panels = Object.keys(layout)
    .filter((key) => /^yaxis\d*$/.test(key))
    .map((key) => ({ name: key.replace('axis', ''), axis: layout[key] as Axis }));
  const ranges = new Map(panels.map(({ name, axis }) => [name, verticalRange(panelTraces(data, name), axis, [low, high], categories)]));
  for (const { name, axis } of panels) if (axis.matches !== undefined) shareRange(ranges, name, axis.matches);
  const height = layout.height ?? 340;
  const longest = Math.max(...panels.map(({ name, axis }) => labelWidth(axis, ranges.get(name)!, categories)));
  const left = Math.max(10, panels.every(({ axis }) => axis.showticklabels === false) ? margin.l : longest + 12);
  const right = view.width - Math.max(margin.r, view.endRoom ?? 0);
  const plotHeight = height - margin.t - margin.b;
  const perPx = (high - low) / Math.max(1, right - left);
  return {
    width: view.width,
    height,
    left,
    right,
    low,
    high,
    categories,
    toPx: (value) => left + (value - low) / perPx,
    fromPx: (px) => low + (px - left) * perPx,
    panels: panels.map(({ name, axis }) => {
      const [from, to] = axis.domain ?? [0, 1];
      const [bottomValue, topValue] = ranges.get(name)!;
      const top = margin.t + (1 - to) * plotHeight;
      const bottom = margin.t + (1 - from) * plotHeight;
      const toPx = (value: number): number => bottom - ((value - bottomValue) / (topValue - bottomValue)) * (bottom - top);
      return { name, axis, top, bottom, low: bottomValue, high: topValue, toPx };
    }),
  };
}

export function panelTraces(data: readonly Trace[], panel: string): readonly Trace[] {
  return data.filter(({ yaxis = 'y' }) => yaxis === panel);
}

function numbersOf(places: readonly Place[]): number[] {
  return places.filter((value) => typeof value === 'number' && Number.isFinite(value)) as number[];
}

function extent(values: readonly number[]): readonly [number, number] | null {
  if (values.length === 0) return null;
  return values.reduce<readonly [number, number]>(
    ([least, most], value) => [Math.min(least, value), Math.max(most, value)],
    [values[0]!, values[0]!],
  );
}

function horizontalRange(data: readonly Trace[], axis: Axis = {}): readonly [number, number] {
  if (axis.range !== undefined) return axis.range;
  const found = extent(data.flatMap((trace) => [...numbersOf(trace.x), ...ends(trace.x, trace.error_x)])) ?? [0, 1];
  const isBar = data.some(({ type }) => type === 'bar');
  const [least, most] = isBar || axis.rangemode === 'tozero' ? [Math.min(0, found[0]), Math.max(0, found[1])] : found;
  const cell = data.some(({ type }) => type === 'heatmap') ? halfCell(data[0]!.x) : 0;
  const slack = data.every(({ mode = '' }) => !mode.includes('markers')) && !isBar ? cell : Math.max(cell, 0.03 * (most - least || 1));
  return [isBar && least === 0 ? 0 : least - slack, most + slack];
}

function halfCell(places: readonly Place[]): number {
  const [first, second] = numbersOf(places);
  return first === undefined || second === undefined ? 0.5 : Math.abs(second - first) / 2;
}

function ends(places: readonly Place[], bars: Trace['error_x']): number[] {
  if (bars === undefined) return [];
  return places.flatMap((place, index) =>
    typeof place === 'number' ? [place + (bars.array[index] ?? 0), place - ((bars.arrayminus ?? bars.array)[index] ?? 0)] : [],
  );
}

function verticalRange(
  traces: readonly Trace[],
  axis: Axis,
  across: readonly [number, number],
  categories: readonly string[],
): [number, number] {
  if (axis.range !== undefined) return [axis.range[0], axis.range[1]];
  if (categories.length > 0) return axis.autorange === 'reversed' ? [categories.length - 0.5, -0.5] : [-0.5, categories.length - 0.5];
  const all = (from: number, to: number): number[] =>
    traces.flatMap(({ x, y, error_y }) => [
      ...numbersOf(y.filter((_, index) => typeof x[index] !== 'number' || ((x[index] as number) >= from && (x[index] as number) <= to))),
      ...ends(y, error_y),
    ]);
  const shown = all(across[0], across[1]);
  const [least, most] = extent(shown.length > 0 ? shown : all(Number.NEGATIVE_INFINITY, Number.POSITIVE_INFINITY)) ?? [0, 1];
  const heat = traces.find(({ type }) => type === 'heatmap');
  if (heat !== undefined) return [least - halfCell(heat.y), most + halfCell(heat.y)];
  const toZero = axis.rangemode === 'tozero';
  const [bottom, top] = toZero ? [Math.min(0, least), Math.max(0, most)] : [least, most];
  const slack = top > bottom ? 0.06 * (top - bottom) : Math.max(1e-6, Math.abs(top) * 0.02, 0.5 * 10 ** -3);
  return [toZero && bottom === 0 ? 0 : bottom - slack, toZero && top === 0 ? 0 : top + slack];
}

function shareRange(ranges: Map<string, [number, number]>, one: string, other: string): void {
  const [a, b] = [ranges.get(one), ranges.get(other)];
  if (a === undefined || b === undefined) return;
  const both: [number, number] = [Math.min(a[0], b[0]), Math.max(a[1], b[1])];
  for (const [name, range] of ranges) if (range === a || range === b) ranges.set(name, both);
}

/** Width that the labels of a vertical axis take: letters of this size are about 7.3 px wide. */
function labelWidth(axis: Axis, [low, high]: readonly [number, number], categories: readonly string[]): number {
  if (categories.length > 0) return Math.min(170, 7 * Math.max(...categories.map(({ length }) => length)));
  const digits = Math.max(
    ...[low, high].map((value) => Math.floor(Math.log10(Math.max(1, Math.abs(value)))) * (Math.abs(value) >= 1000 ? 1.3 : 1)),
  );
  const fraction = /\.(\d)f/.exec(axis.tickformat ?? '')?.[1];
  const decimals = fraction === undefined ? (high - low < 2 ? 2 : high - low < 8 ? 1 : 0) : Number(fraction);
  return (
    7.3 *
    (digits +
      1 +
      (low < 0 || axis.tickformat?.startsWith('+') ? 1 : 0) +
      (decimals > 0 ? decimals + 0.5 : 0) +
      (axis.ticksuffix ?? '').length)
  );
}
