import type { Drawing } from '../plot/drawing.js';
import { drawFigure } from '../plot/figureSvg.js';
import type { Frame } from '../plot/frame.js';
import { readingsAt } from '../plot/readout.js';

const svgSpace = 'http://www.w3.org/2000/svg';

/** A figure in the page: drawn when it is in sight, with a cursor and the part that is shown. */
export class Plot {
  readonly place: HTMLElement;
  /** `rpm` where the horizontal axis is engine speed: those plots share cursor and range. */
  across: string;
  drawing: Drawing;
  frame: Frame | null = null;
  /** Both ends of the whole horizontal axis. */
  whole: readonly [number, number] = [0, 1];
  /** Part of an axis of its own; what is shared comes with the drawing. */
  ownRange: readonly [number, number] | null = null;
  /** Where its cursor stands. */
  cursor: number | null = null;
  /** Told where the cursor went, and that it was drawn again. */
  told?: (value: number | null) => void;
  redrawn?: () => void;
  private overlay: SVGGElement | null = null;

  constructor(place: HTMLElement, drawing: Drawing) {
    this.place = place;
    this.drawing = drawing;
    this.across = place.dataset.across ?? 'own';
  }

  /** Whether it stands where it can be seen at all; a closed topic has no room. */
  get hasRoom(): boolean {
    return this.place.clientWidth > 0;
  }

  draw(range: readonly [number, number] | null, off: ReadonlySet<number>, width: number = this.place.clientWidth): void {
    const { frame: all } = drawFigure(this.drawing, { width, hidden: off });
    this.whole = [all.low, all.high];
    const part = range === null ? undefined : this.clamped(range);
    const { svg, frame } = drawFigure(this.drawing, { width, hidden: off, range: part });
    this.place.innerHTML = svg;
    this.frame = frame;
    this.place.dataset.drawn = 'true';
    this.overlay = document.createElementNS(svgSpace, 'g');
    this.place.firstElementChild!.append(this.overlay);
  }

  /** A range within the axis and not narrower than a fiftieth of it. */
  clamped([from, to]: readonly [number, number]): readonly [number, number] | undefined {
    const [low, high] = this.whole;
    const [least, most] = [Math.max(low, from), Math.min(high, to)];
    return most - least < (high - low) / 50 || (least <= low && most >= high) ? undefined : [least, most];
  }

  /** Place on the axis below a point of the screen. */
  valueAt(clientX: number): number {
    const { frame } = this;
    if (frame === null) return Number.NaN;
    const box = this.place.getBoundingClientRect();
    const px = (clientX - box.left) * (frame.width / Math.max(1, box.width));
    return Math.min(frame.high, Math.max(frame.low, frame.fromPx(px)));
  }

  /** Draws the cursor and says what stands there; null takes it away. */
  showCursor(value: number | null, off: ReadonlySet<number>): string {
    const { frame, overlay } = this;
    if (frame === null || overlay === null) return '';
    this.cursor = value;
    overlay.replaceChildren();
    if (value === null || value < frame.low || value > frame.high) return '';
    const line = document.createElementNS(svgSpace, 'path');
    const x = frame.toPx(value);
    const [top, bottom] = [frame.panels[0]!.top, frame.panels.at(-1)!.bottom];
    line.setAttribute('class', 'cursor-line');
    line.setAttribute('d', `M${x} ${top}V${bottom}`);
    overlay.append(line);
    const readings = this.readings(value, off);
    for (const { trace, at } of readings) {
      const { x: xs, y: ys, yaxis = 'y' } = this.drawing.data[trace]!;
      const panel = frame.panels.find(({ name }) => name === yaxis);
      const [px, py] = [xs[at], ys[at]];
      if (panel === undefined || typeof px !== 'number' || typeof py !== 'number') continue;
      const dot = document.createElementNS(svgSpace, 'circle');
      dot.setAttribute('class', 'cursor-dot');
      dot.setAttribute('r', '3.4');
      dot.setAttribute('cx', String(frame.toPx(px)));
      dot.setAttribute('cy', String(panel.toPx(py)));
      overlay.append(dot);
    }
    // What is drawn last lies on top and is read first.
    return readings
      .reverse()
      .map(({ name, text }) => (name === '' || text.startsWith(name) ? text : `${name} ${text}`))
      .join(' · ');
  }

  readings(value: number, off: ReadonlySet<number>): ReturnType<typeof readingsAt> {
    const { frame } = this;
    if (frame === null) return [];
    const shown = readingsAt(this.drawing, value, (frame.high - frame.low) * 0.03);
    return shown.filter(({ trace }) => {
      const setup = this.drawing.data[trace]!.meta?.setup;
      return setup === undefined || !off.has(setup);
    });
  }

  /** Marks what a drag has taken so far. */
  showChosen(from: number, to: number): void {
    const { frame, overlay } = this;
    if (frame === null || overlay === null) return;
    overlay.replaceChildren();
    const box = document.createElementNS(svgSpace, 'rect');
    const [a, b] = [frame.toPx(Math.min(from, to)), frame.toPx(Math.max(from, to))];
    const [top, bottom] = [frame.panels[0]!.top, frame.panels.at(-1)!.bottom];
    box.setAttribute('class', 'chosen-range');
    for (const [name, value] of Object.entries({ x: a, y: top, width: b - a, height: bottom - top })) box.setAttribute(name, String(value));
    overlay.append(box);
  }
}
