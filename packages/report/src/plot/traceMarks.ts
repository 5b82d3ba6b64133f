import type { ErrorBars, Place, Trace } from './drawing.js';
import type { Frame, Panel } from './frame.js';
import { fill, inert, px, stroke } from './paint.js';

/** A trace as markup. */
export function traceMarks(trace: Trace, panel: Panel, frame: Frame, bars: number): string {
  if (trace.type === 'heatmap') return heatMarks(trace, panel, frame);
  if (trace.type === 'bar') return barMarks(trace, panel, frame, bars);
  const points = trace.x.map((x, index): Point => pointAt(x, trace.y[index] ?? null, panel, frame));
  const mode = trace.mode ?? 'lines';
  const parts: string[] = [];
  if (trace.fill === 'toself') parts.push(area(trace, points));
  else if (mode.includes('lines')) {
    const path = linePath(points);
    const look = stroke(trace.line?.color, trace.line?.width ?? 2, trace.line?.dash);
    if (path !== '' && look !== '') parts.push(`<path d="${path}" fill="none"${look}/>`);
  }
  if (trace.error_x !== undefined) parts.push(whiskers(trace.error_x, points, (value) => value / perPx(frame), 'x'));
  if (trace.error_y !== undefined)
    parts.push(whiskers(trace.error_y, points, (value) => (value / (panel.high - panel.low)) * (panel.bottom - panel.top), 'y'));
  if (mode.includes('markers')) parts.push(markers(trace, points, frame));
  return parts.join('');
}

type Point = readonly [x: number, y: number] | null;

function pointAt(x: Place, y: Place, panel: Panel, frame: Frame): Point {
  const row = typeof y === 'string' ? frame.categories.indexOf(y) : y;
  if (typeof x !== 'number' || row === null || !Number.isFinite(x) || !Number.isFinite(row)) return null;
  return [frame.toPx(x), panel.toPx(row)];
}

function perPx(frame: Frame): number {
  return (frame.high - frame.low) / (frame.right - frame.left);
}

/** A line that is broken where there is no value. Steps below a tenth of a px are left out. */
function linePath(points: readonly Point[], close = false): string {
  let path = '';
  let pen: Point = null;
  for (const point of points) {
    if (point === null) {
      if (close && pen !== null) path += 'Z';
      pen = null;
      continue;
    }
    path += `${pen === null ? 'M' : 'L'}${px(point[0])} ${px(point[1])}`;
    pen = point;
  }
  return close && pen !== null ? `${path}Z` : path;
}

function area(trace: Trace, points: readonly Point[]): string {
  const path = linePath(points, true);
  if (path === '') return '';
  const edge = stroke(trace.line?.color, trace.line?.width ?? 0.8);
  const role = trace.fillpattern === undefined ? null : /^role:([a-z0-9]+)/i.exec(trace.fillpattern.fgcolor)?.[1];
  const paint = role === null || role === undefined ? fill(trace.fillcolor) : ` fill="url(#hatch-${role})"`;
  const shape = `<path d="${path}"${paint} stroke="none"/>`;
  return edge === '' ? shape : `${shape}<path d="${path}" fill="none"${edge}/>`;
}

const shapes: Readonly<Record<string, (r: number) => string>> = {
  circle: (r) => `m${-r} 0a${r} ${r} 0 1 0 ${2 * r} 0a${r} ${r} 0 1 0 ${-2 * r} 0`,
  square: (r) => `m${-r} ${-r}h${2 * r}v${2 * r}h${-2 * r}Z`,
  diamond: (r) => `m0 ${px(-1.3 * r)}l${px(1.3 * r)} ${px(1.3 * r)}l${px(-1.3 * r)} ${px(1.3 * r)}l${px(-1.3 * r)} ${px(-1.3 * r)}Z`,
  'triangle-up': (r) => `m0 ${px(-1.2 * r)}l${px(1.2 * r)} ${px(2.1 * r)}h${px(-2.4 * r)}Z`,
  x: (r) => `m${-r} ${-r}l${2 * r} ${2 * r}m0 ${-2 * r}l${-2 * r} ${2 * r}`,
  star: (r) => `m0 ${-r}v${2 * r}m${px(-0.87 * r)} ${px(-1.5 * r)}l${px(1.74 * r)} ${r}m0 ${-r}l${px(-1.74 * r)} ${r}`,
};

function markers({ marker = {}, mode = '' }: Trace, points: readonly Point[], frame: Frame): string {
  const known = points.filter(
    (point): point is NonNullable<Point> => point !== null && point[0] >= frame.left - 1 && point[0] <= frame.right + 1,
  );
  const every = marker.maxdisplayed === undefined ? 1 : Math.max(1, Math.ceil(known.length / marker.maxdisplayed));
  // Markers on a line stand off its ends, where its name goes.
  const first = mode.includes('lines') ? Math.floor(every / 2) : 0;
  const symbol = marker.symbol ?? 'circle';
  const name = symbol.replace(/-(open|dot)/g, '');
  const radius = (marker.size ?? 6) / 2;
  const shape = (shapes[name] ?? shapes.circle!)(radius);
  const path = known
    .flatMap((point, index) => (index % every === first % every ? [`M${px(point[0])} ${px(point[1])}${shape}`] : []))
    .join('');
  if (path === '') return '';
  const isBare = name === 'x' || name === 'star';
  const look =
    symbol.includes('-open') || isBare ? ` fill="none"${stroke(marker.color, isBare ? 2 : 1.6)}` : `${fill(marker.color)} stroke="none"`;
  return `<path d="${path}"${look}/>`;
}

function whiskers(bars: ErrorBars, points: readonly Point[], toPx: (value: number) => number, along: 'x' | 'y'): string {
  const path = points.map((point, index) => {
    const [more, less] = [bars.array[index], (bars.arrayminus ?? bars.array)[index]];
    if (point === null || more === null || more === undefined || less === null || less === undefined) return '';
    const [x, y] = point;
    return along === 'x'
      ? `M${px(x - toPx(less))} ${px(y)}H${px(x + toPx(more))}m0 -4v8M${px(x - toPx(less))} ${px(y - 4)}v8`
      : `M${px(x)} ${px(y + toPx(less))}V${px(y - toPx(more))}m-4 0h8M${px(x - 4)} ${px(y + toPx(less))}h8`;
  });
  return `<path d="${path.join('')}" fill="none"${stroke(bars.color, 1.8)}/>`;
}

function barMarks(trace: Trace, panel: Panel, frame: Frame, bars: number): string {
  const [at, of] = [bars % 16, Math.floor(bars / 16)];
  const room = Math.abs(panel.toPx(1) - panel.toPx(0)) * 0.72;
  const thick = room / of;
  return trace.x
    .map((x, index) => {
      const row = frame.categories.indexOf(String(trace.y[index]));
      if (typeof x !== 'number' || row < 0) return '';
      const [from, to] = [frame.toPx(Math.min(0, x)), frame.toPx(Math.max(0, x))];
      const top = panel.toPx(row) - room / 2 + at * thick;
      const box = `x="${px(from)}" y="${px(top)}" width="${px(to - from)}" height="${px(thick - 2)}"`;
      const hatch = trace.marker?.pattern?.shape === '/' ? /^role:([a-z0-9]+)/i.exec(trace.marker.color ?? '')?.[1] : undefined;
      if (hatch === undefined) return `<rect ${box}${fill(trace.marker?.color)}/>`;
      return `<rect ${box} fill="url(#hatch-${hatch})"/><rect ${box} fill="none"${stroke(trace.marker?.color, 1)}/>`;
    })
    .join('');
}

function heatMarks(trace: Trace, panel: Panel, frame: Frame): string {
  const known = (trace.z ?? []).flat().filter((value) => value !== null);
  const [least, most] = [Math.min(...known), Math.max(...known)];
  const alphas = [trace.colorscale?.[0]?.[1], trace.colorscale?.at(-1)?.[1]].map((colour) => Number(colour?.split('/')[1] ?? 1));
  const role = trace.colorscale?.[0]?.[1].split('/')[0] ?? 'role:setup1';
  const step = (places: readonly Place[], toPx: (value: number) => number): number =>
    places.length < 2 ? 24 : Math.abs(toPx(places[1] as number) - toPx(places[0] as number));
  const [wide, high] = [step(trace.x, frame.toPx), step(trace.y, panel.toPx)];
  return (trace.z ?? [])
    .flatMap((line, row) =>
      line.map((value, column) => {
        if (value === null) return '';
        const share = most > least ? (value - least) / (most - least) : 1;
        const [x, y] = [frame.toPx(trace.x[column] as number), panel.toPx(trace.y[row] as number)];
        const words = (trace.text?.[row] as readonly string[] | undefined)?.[column] ?? '';
        const box = `<rect x="${px(x - wide / 2 + 1)}" y="${px(y - high / 2 + 1)}" width="${px(wide - 2)}" height="${px(high - 2)}"${fill(`${role}/${(alphas[0]! + share * (alphas[1]! - alphas[0]!)).toFixed(2)}`)}/>`;
        const fits = words.length * 7.5 <= wide && high >= 13;
        return fits ? `${box}<text x="${px(x)}" y="${px(y + 4.5)}" class="f-text" text-anchor="middle">${inert(words)}</text>` : box;
      }),
    )
    .join('');
}
