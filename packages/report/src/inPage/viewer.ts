import { numberText } from '@pullproof/core';
import type { ViewerData } from '../viewerData.js';
import type { Choices } from './address.js';
import type { Figures } from './figures.js';
import type { Plot } from './plot.js';
import { viewerDrawing } from './viewerDrawing.js';

/** Points stand a finger's width apart when readings are shown one by one, px. */
const pxForPoint = 9;

/** The pull viewer: the pulls that are ticked, over time or engine speed, with what was read at the cursor. */
export class Viewer {
  private readonly data: ViewerData;
  private readonly choices: Choices;
  private readonly figures: Figures;
  private readonly changed: () => void;
  private plot: Plot | null = null;

  constructor(data: ViewerData, choices: Choices, figures: Figures, changed: () => void) {
    this.data = data;
    this.choices = choices;
    this.figures = figures;
    this.changed = changed;
  }

  /** Finds the viewer in the page, which the units switch may have put there anew. */
  start(): void {
    this.plot = null;
    const place = document.querySelector<HTMLElement>('.viewer-figure');
    if (place === null) return;
    place.hidden = false;
    if (this.choices.pulls !== null) {
      const wanted = new Set(this.choices.pulls);
      for (const box of boxes()) box.checked = wanted.has(box.dataset.pull!);
    }
    for (const box of boxes())
      box.addEventListener('change', () => {
        this.choices.pulls = boxes().flatMap((one) => (one.checked ? [one.dataset.pull!] : []));
        this.changed();
        this.draw();
      });
    for (const button of place.querySelectorAll<HTMLButtonElement>('[data-by]')) {
      button.addEventListener('click', () => {
        this.choices.by = button.dataset.by === 'rpm' ? 'rpm' : 'time';
        if (this.plot !== null) this.plot.ownRange = null;
        this.changed();
        this.draw();
      });
    }
    place.querySelector<HTMLButtonElement>('[data-do=reset-viewer]')!.addEventListener('click', () => {
      if (this.plot !== null) this.figures.moveRange(this.plot, null);
    });
    this.draw();
  }

  /** Draws what is chosen; nothing while its topic is closed. */
  draw(): void {
    const place = document.getElementById('viewer-plot');
    if (place === null || place.clientWidth === 0) return;
    for (const button of document.querySelectorAll<HTMLButtonElement>('[data-by]'))
      button.setAttribute('aria-pressed', String(button.dataset.by === this.choices.by));
    const drawing = this.drawing(place.clientWidth);
    if (drawing === null) {
      place.textContent = 'Tick a pull to see it.';
      this.say(null);
      return;
    }
    place.dataset.across = this.choices.by === 'rpm' ? 'rpm' : 'time';
    if (this.plot === null) {
      place.setAttribute('aria-label', 'Readings of the chosen pulls');
      this.plot = this.figures.add(place, drawing);
      this.plot.told = (value) => this.say(value);
      this.plot.redrawn = () => this.drawAgain();
      this.say(null);
    }
    this.plot.across = place.dataset.across;
    this.plot.drawing = drawing;
    this.figures.draw(this.plot);
    this.showReset();
  }

  /** Close up, readings become points: what is drawn depends on the part that is shown. */
  private drawAgain(): void {
    const { plot } = this;
    const drawing = plot === null ? null : this.drawing(plot.place.clientWidth);
    if (plot === null || drawing === null) return;
    plot.drawing = drawing;
    this.figures.draw(plot);
    this.showReset();
  }

  private showReset(): void {
    document.querySelector<HTMLElement>('[data-do=reset-viewer]')!.hidden = this.range() === null;
  }

  private range(): readonly [number, number] | null {
    return this.choices.by === 'rpm' ? this.choices.range : (this.plot?.ownRange ?? null);
  }

  private chosen(): ViewerData['pulls'] {
    const ticked = new Set(boxes().flatMap((box) => (box.checked ? [box.dataset.pull!] : [])));
    return this.data.pulls.filter(({ setup, pull }) => ticked.has(`${setup}.${pull}`));
  }

  private drawing(width: number): ReturnType<typeof viewerDrawing> | null {
    const pulls = this.chosen();
    if (pulls.length === 0) return null;
    const { units, by } = this.choices;
    return viewerDrawing(this.data, pulls, { units, by, range: this.range(), pointsBelow: width / pxForPoint });
  }

  /** One line for each quantity, its values in the order of the pulls. */
  private say(value: number | null): void {
    const list = document.querySelector<HTMLElement>('.viewer-readout');
    if (list === null) return;
    const pulls = this.chosen();
    const { units, by } = this.choices;
    const entries: [string, string][] = [
      [
        by === 'rpm' ? 'Engine speed' : 'Time',
        value === null ? '–' : by === 'rpm' ? `${numberText(value, 0)} rpm` : `${numberText(value, 2)} s`,
      ],
    ];
    const readings = value === null || this.plot === null ? [] : this.plot.readings(value, this.choices.off);
    for (const { title, quantities, units: panelUnits } of this.data.panels) {
      if (by === 'rpm' && quantities.includes('engine-speed')) continue;
      if (!pulls.some(({ channels }) => channels.some(({ quantity }) => quantities.includes(quantity)))) continue;
      const { symbol } = panelUnits[units];
      const panel = this.panelOf(title);
      const texts = readings.filter(({ trace }) => (this.plot!.drawing.data[trace]!.yaxis ?? 'y') === panel).map(({ text }) => text);
      entries.push([title, texts.length === 0 ? '–' : `${texts.join(' / ')}${symbol === '' ? '' : ` ${symbol}`}`]);
    }
    list.replaceChildren(
      ...entries.map(([name, text]) => {
        const [group, term, words] = [document.createElement('div'), document.createElement('dt'), document.createElement('dd')];
        term.textContent = name;
        words.textContent = text;
        group.append(term, words);
        return group;
      }),
    );
  }

  private panelOf(title: string): string {
    const index = (this.plot?.drawing.layout.annotations ?? []).findIndex(({ text }) => text === title || text.startsWith(`${title}, `));
    return index <= 0 ? 'y' : `y${index + 1}`;
  }
}

function boxes(): HTMLInputElement[] {
  return [...document.querySelectorAll<HTMLInputElement>('.pull-list input')];
}
