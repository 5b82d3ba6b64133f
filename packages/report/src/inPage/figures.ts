import { numberText } from '@pullproof/core';
import type { Drawing } from '../plot/drawing.js';
import type { Choices } from './address.js';
import { listen } from './gestures.js';
import type { Drawings } from './pageData.js';
import { Plot } from './plot.js';

const hint = 'Point at the graph for values; drag, scroll or pinch to zoom.';

/** All figures of the page: one cursor and one range along engine speed, and setups that are switched on and off in all of them. */
export class Figures {
  drawings: Drawings = {};
  private readonly plots = new Map<HTMLElement, Plot>();
  private readonly choices: Choices;
  private readonly changed: () => void;
  private waiting = false;

  constructor(choices: Choices, changed: () => void) {
    this.choices = choices;
    this.changed = changed;
  }

  /** Forgets what is no longer in the page, and draws what is in sight. */
  drawAll(again = false): void {
    for (const place of this.plots.keys()) if (!place.isConnected) this.plots.delete(place);
    for (const place of document.querySelectorAll<HTMLElement>('.plot[data-figure]')) {
      const drawing = this.drawings[place.dataset.figure!];
      if (drawing === undefined || place.clientWidth === 0) continue;
      if (!this.plots.has(place)) this.add(place, drawing);
      else if (again) this.draw(this.plots.get(place)!);
    }
  }

  /** Takes a figure in, draws it and listens to it. */
  add(place: HTMLElement, drawing: Drawing): Plot {
    const plot = new Plot(place, drawing);
    this.plots.set(place, plot);
    place.tabIndex = 0;
    place.setAttribute('role', 'slider');
    place.setAttribute('aria-orientation', 'horizontal');
    listen(plot, {
      cursor: (one, value) => this.moveCursor(one, value),
      range: (one, range) => this.moveRange(one, range),
    });
    this.draw(plot);
    return plot;
  }

  draw(plot: Plot, width?: number): void {
    if (!plot.hasRoom && width === undefined) return;
    plot.draw(plot.across === 'rpm' ? this.choices.range : plot.ownRange, this.choices.off, width);
    const { frame } = plot;
    plot.place.setAttribute('aria-valuemin', String(Math.round(frame!.low)));
    plot.place.setAttribute('aria-valuemax', String(Math.round(frame!.high)));
    this.say(plot, plot.cursor);
  }

  /** On paper every figure is as wide as the paper. */
  drawForPaper(width: number | null): void {
    for (const plot of this.plots.values()) if (plot.hasRoom) this.draw(plot, width ?? undefined);
  }

  moveCursor(from: Plot, value: number | null): void {
    if (from.across !== 'rpm') {
      this.say(from, value);
      return;
    }
    for (const plot of this.plots.values()) if (plot.across === 'rpm' && plot.hasRoom) this.say(plot, value);
  }

  moveRange(from: Plot, range: readonly [number, number] | null): void {
    const part = range === null ? null : (from.clamped(range) ?? (isNarrow(range, from.whole) ? undefined : null));
    if (part === undefined) return;
    if (from.across === 'rpm') this.choices.range = part;
    else from.ownRange = part;
    this.redrawSoon(from);
    this.changed();
  }

  /** Draws once for all that happens before the next picture of the screen. */
  redrawSoon(only?: Plot): void {
    if (only !== undefined && only.across !== 'rpm') {
      this.draw(only);
      only.redrawn?.();
      return;
    }
    if (this.waiting) return;
    this.waiting = true;
    requestAnimationFrame(() => {
      this.waiting = false;
      for (const plot of this.plots.values()) {
        this.draw(plot);
        plot.redrawn?.();
      }
    });
  }

  private say(plot: Plot, value: number | null): void {
    const text = plot.showCursor(value, this.choices.off);
    plot.told?.(value);
    const at = value === null ? null : axisText(plot, value);
    plot.place.setAttribute('aria-valuenow', String(Math.round(value ?? (plot.frame!.low + plot.frame!.high) / 2)));
    plot.place.setAttribute('aria-valuetext', at === null ? 'no cursor' : `${at}: ${text === '' ? 'nothing here' : text}`);
    const readout = plot.place.closest('figure')?.querySelector<HTMLElement>('.readout');
    if (readout === null || readout === undefined) return;
    const words = document.createElement('span');
    // Said once, at the first figure.
    if (at === null) words.textContent = plot.place.closest('#answer') === null ? '' : hint;
    else {
      const place = document.createElement('b');
      place.textContent = at;
      words.append(place, text === '' ? '' : `: ${text}`);
    }
    const zoomed = plot.across === 'rpm' ? this.choices.range !== null : plot.ownRange !== null;
    // The button stays where it is while the words change: a hand is on its way to it.
    const button = readout.querySelector('button') ?? (zoomed ? this.resetButton(plot) : null);
    if (button !== null) button.hidden = !zoomed;
    if (button !== null && button.parentElement === null) readout.append(button);
    readout.querySelector('span')?.remove();
    readout.prepend(words);
  }

  private resetButton(plot: Plot): HTMLButtonElement {
    const button = document.createElement('button');
    button.type = 'button';
    button.textContent = 'Show all';
    button.addEventListener('click', () => this.moveRange(plot, null));
    return button;
  }
}

function isNarrow([from, to]: readonly [number, number], [low, high]: readonly [number, number]): boolean {
  return to - from < (high - low) / 50;
}

/** Where the cursor stands, with its unit. */
function axisText({ across, drawing, frame }: Plot, value: number): string {
  if (across === 'rpm') return `${numberText(value, 0)} rpm`;
  const unit = /, ([^,]+)$/.exec(drawing.layout.xaxis?.title?.text ?? '')?.[1] ?? '';
  const decimals = Math.max(0, 2 - Math.floor(Math.log10(Math.max(1e-6, frame!.high - frame!.low))));
  return `${numberText(value, Math.min(3, decimals))}${unit === '' ? '' : ` ${unit}`}`;
}
