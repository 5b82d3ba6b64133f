import type { UnitSystem } from '@pullproof/figures';
import type { Annotation, Axis, Drawing, Layout, Shape, Trace } from '../plot/drawing.js';
import type { LinearUnit, ViewerData, ViewerPanel } from '../viewerData.js';

type Pull = ViewerData['pulls'][number];
type Channel = Pull['channels'][number];

/** How the viewer is looked at. */
export interface ViewerLook {
  readonly units: UnitSystem;
  readonly by: 'time' | 'rpm';
  /** Readings are drawn as points where fewer than these are in sight. */
  readonly pointsBelow: number;
  readonly range: readonly [number, number] | null;
}

const panelPx = 92;
const gapPx = 30;
const margins = { l: 44, r: 12, t: 26, b: 44 };
/** A second channel in a panel, such as the lambda that was wanted. */
const secondDash = '2px,3px';

/** The chosen pulls as one figure, a panel for each quantity that was logged. */
export function viewerDrawing(data: ViewerData, pulls: readonly Pull[], look: ViewerLook): Drawing {
  const logged = new Set(pulls.flatMap(({ channels }) => channels.map(({ quantity }) => quantity)));
  const panels = data.panels.filter(
    ({ quantities }) => quantities.some((quantity) => logged.has(quantity)) && !(look.by === 'rpm' && quantities.includes('engine-speed')),
  );
  const inside = panels.length * panelPx + (panels.length - 1) * gapPx;
  const domain = (index: number): readonly [number, number] => {
    const top = index * (panelPx + gapPx);
    return [Math.max(0, 1 - (top + panelPx) / inside), 1 - top / inside];
  };
  const layout: { [name: string]: unknown } = {
    height: inside + margins.t + margins.b,
    margin: margins,
    xaxis: { title: { text: look.by === 'rpm' ? 'Engine speed, rpm' : 'Time from the start of the pull, s' }, nticks: 9 } satisfies Axis,
    annotations: panels.map(({ title, units }, index): Annotation => {
      const { symbol } = units[look.units];
      return {
        text: symbol === '' ? title : `${title}, ${symbol}`,
        xref: 'paper',
        yref: 'paper',
        x: 0,
        y: domain(index)[1],
        xanchor: 'left',
        yanchor: 'bottom',
        yshift: 4,
      };
    }),
    shapes: look.by === 'time' ? pulls.flatMap(cutShapes) : [],
  };
  const shapes = layout.shapes as Shape[];
  const annotations = layout.annotations as Annotation[];
  panels.forEach((panel, index) => {
    const name = index === 0 ? 'y' : `y${index + 1}`;
    layout[`yaxis${index === 0 ? '' : index + 1}`] = { domain: domain(index), nticks: 4 } satisfies Axis;
    if (panel.quantities.includes('lambda')) lambdaLines(pulls, name, shapes, annotations);
  });
  return {
    data: panels.flatMap((panel, index) => pulls.flatMap((pull) => pullTraces(pull, panel, index, look))),
    layout: layout as Layout,
  };
}

function cutShapes({ cuts }: Pull): Shape[] {
  return cuts.map(({ fromS, toS }) => ({
    type: 'rect',
    yref: 'paper',
    x0: fromS,
    x1: toS,
    y0: 0,
    y1: 1,
    layer: 'below',
    fillcolor: 'role:muted/0.16',
  }));
}

function lambdaLines(pulls: readonly Pull[], yref: string, shapes: Shape[], annotations: Annotation[]): void {
  const limits = [
    {
      value: pulls.find(({ limits: { leanestLambda } }) => leanestLambda !== null)?.limits.leanestLambda,
      text: 'leanest',
      colour: 'role:alarm',
      at: { x: 1, xanchor: 'right' },
    },
    {
      value: pulls.find(({ limits: { targetLambda } }) => targetLambda !== null)?.limits.targetLambda,
      text: 'target',
      colour: 'role:muted',
      at: { x: 0.02, xanchor: 'left' },
    },
  ];
  for (const { value, text, colour, at } of limits) {
    if (value === null || value === undefined) continue;
    shapes.push({
      type: 'line',
      xref: 'paper',
      yref,
      x0: 0,
      x1: 1,
      y0: value,
      y1: value,
      line: { color: colour, width: 1.2, dash: '3px,3px' },
    });
    annotations.push({ text, xref: 'paper', yref, ...at, y: value, yanchor: 'bottom', font: { color: 'role:muted' } });
  }
}

function pullTraces(pull: Pull, panel: ViewerPanel, index: number, look: ViewerLook): Trace[] {
  const unit = panel.units[look.units];
  return pull.channels
    .filter(({ quantity }) => panel.quantities.includes(quantity))
    .flatMap((channel, place) => {
      const second = place > 0;
      const all = readingsOf(pull, channel, unit, look.by);
      const used = pull.used.length === 0 ? null : only(all, pull);
      const inSight = all.x.filter((x) => x !== null && (look.range === null || (x >= look.range[0] && x <= look.range[1]))).length;
      const base = { type: 'scatter', yaxis: index === 0 ? 'y' : `y${index + 1}`, meta: { setup: pull.setup } } as const;
      const name = second ? `${pull.name}, ${channel.name}` : pull.name;
      const points = inSight < look.pointsBelow;
      const dash = second ? secondDash : pull.dash;
      const marker = { symbol: 'circle', size: 4.5, color: `role:${pull.role}` };
      return [
        {
          ...base,
          mode: points ? 'lines+markers' : 'lines',
          x: all.x,
          y: all.y,
          name,
          line: { color: `role:${pull.role}/0.5`, width: 1, dash: second ? secondDash : 'solid' },
          marker,
          hovertemplate: `%{y:.${unit.decimals}f}<extra>%{fullData.name}</extra>`,
        },
        ...(used === null
          ? []
          : [
              {
                ...base,
                mode: 'lines',
                x: used.x,
                y: used.y,
                name,
                hoverinfo: 'skip',
                line: { color: `role:${pull.role}`, width: 2, dash },
              },
            ]),
      ];
    });
}

interface Readings {
  readonly timeS: (number | null)[];
  readonly x: (number | null)[];
  readonly y: (number | null)[];
}

/** New readings of a channel; a wait that is longer than usual is a gap in the line. */
function readingsOf(pull: Pull, channel: Channel, unit: LinearUnit, by: 'time' | 'rpm'): Readings {
  const longest = Math.max(0.25, 3 * (channel.refreshS ?? 0));
  const out: Readings = { timeS: [], x: [], y: [] };
  const speed = by === 'rpm' ? speedAlong(pull) : null;
  let last = Number.NEGATIVE_INFINITY;
  channel.value.forEach((value, row) => {
    const time = pull.timeS[row]!;
    if (value === null) return;
    if (time - last > longest && out.x.length > 0) push(out, null, null, null);
    last = time;
    push(out, time, speed === null ? time : (speed[row] ?? null), value * unit.scale + unit.shift);
  });
  return out;
}

function push(readings: Readings, timeS: number | null, x: number | null, y: number | null): void {
  readings.timeS.push(timeS);
  readings.x.push(x);
  readings.y.push(y);
}

/** Engine speed on every row, straight between its readings. */
function speedAlong({ channels, timeS }: Pull): (number | null)[] {
  const speed = channels.find(({ quantity }) => quantity === 'engine-speed')?.value ?? [];
  const known = speed.flatMap((value, row) => (value === null ? [] : [row]));
  let next = 0;
  return timeS.map((time, row) => {
    while (next < known.length && known[next]! < row) next += 1;
    const [before, after] = [known[next - 1], known[next]];
    if (after === row) return speed[row]!;
    if (before === undefined || after === undefined) return null;
    const part = (time - timeS[before]!) / (timeS[after]! - timeS[before]!);
    return speed[before]! * (1 - part) + speed[after]! * part;
  });
}

/** Those readings that power was worked out from. */
function only({ timeS, x, y }: Readings, { used }: Pull): Readings {
  const isUsed = (time: number | null): boolean => time !== null && used.some(({ fromS, toS }) => time >= fromS && time <= toS);
  return { timeS, x: x.map((value, index) => (isUsed(timeS[index]!) ? value : null)), y };
}
