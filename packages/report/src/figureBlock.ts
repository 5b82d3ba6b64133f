import type { Figure, KeyEntry } from '@pullproof/figures';
import { heightStep } from './figureHeight.js';
import { type Html, html, shortName, trustedHtml } from './html.js';
import type { Drawing } from './plot/drawing.js';
import { drawFigure } from './plot/figureSvg.js';
import type { FigureBlock } from './section.js';
import { figureTable } from './table.js';

/** Width of a picture that no script has fitted to its page yet, px. */
const stillWidthPx = 600;

/** Numbers the figures of a page and keeps what its script draws them from. */
export class FigurePlaces {
  readonly all: { [id: string]: Drawing } = {};
  /** Those that are in sight when the page opens. */
  readonly first: string[] = [];
  private count = 0;

  /**
   * A figure in the page: caption, key, the picture, its words and its numbers.
   * @param block figure and caption
   * @param options `first`: in sight when the page opens, so its picture is drawn beforehand; others have theirs for pages without a script; `keyless`: its lines are named where they end, also on a phone
   */
  place({ figure, caption }: FigureBlock, options: { readonly first?: boolean; readonly keyless?: boolean } = {}): Html {
    this.count += 1;
    const id = `figure-${this.count}`;
    if (figure.status !== null)
      return html`<figure class="no-figure" id="${id}"><figcaption>${shortName(caption, 160)}</figcaption><p>${shortName(figure.status, 400)}</p></figure>`;
    const drawing = drawingOf(figure, options.keyless !== true && figure.key.length > 0);
    this.all[id] = drawing;
    if (options.first === true) this.first.push(id);
    const still = trustedHtml(drawFigure(drawing, { width: stillWidthPx }).svg);
    const height = drawing.layout.height ?? 340;
    return html`<figure id="${id}" aria-labelledby="${id}-title">
<figcaption id="${id}-title">${shortName(caption, 160)}</figcaption>
${options.keyless === true ? null : keyOf(figure.key, drawing)}
<p class="readout" aria-hidden="true"></p>
<div class="plot h${heightClass(height)}" data-figure="${id}" data-across="${acrossOf(figure)}" role="img" aria-label="${shortName(caption, 160)}" aria-describedby="${id}-words">${options.first === true ? still : html`<noscript>${still}</noscript>`}</div>
${figure.notes.map((note) => html`<p class="small muted">${shortName(note, 300)}</p>`)}
<details class="numbers"><summary>In words and numbers<span class="for-reader">: ${shortName(caption)}</span></summary>
<p id="${id}-words">${shortName(figure.summary, 4000)}</p>
${figureTable(figure.table, `Numbers of ${shortName(caption, 80)}`)}</details>
</figure>`;
  }
}

function heightClass(height: number): number {
  return Math.ceil(height / heightStep) * heightStep;
}

/** Figures along engine speed share a cursor and a range. */
function acrossOf({ layout }: Figure): string {
  const { title } = (layout.xaxis ?? {}) as { readonly title?: { readonly text?: string } };
  return title?.text?.startsWith('Engine speed') === true ? 'rpm' : 'own';
}

const layoutParts = /^(xaxis|yaxis\d*|shapes|annotations|height|margin)$/;
const axisParts =
  /^(title|range|rangemode|domain|anchor|matches|nticks|dtick|tickformat|ticksuffix|tickvals|ticktext|showticklabels|showgrid|showline|autorange|zeroline)$/;

/** What a drawing needs of a figure; what only a notebook's library reads is left out. */
function drawingOf({ data, layout }: Figure, keyed: boolean): Drawing {
  const kept = Object.entries(layout)
    .filter(([name]) => layoutParts.test(name))
    .map(([name, value]) => [name, /axis/.test(name) ? axisOf(value as object) : value]);
  return {
    data: data as unknown as Drawing['data'],
    layout: { ...Object.fromEntries(kept), ...(keyed ? { keyed } : {}) } as Drawing['layout'],
  };
}

function axisOf(axis: object): object {
  return Object.fromEntries(
    Object.entries(axis)
      .filter(([name]) => axisParts.test(name))
      .map(([name, value]) => [name, name === 'title' ? { text: (value as { text: string }).text } : value]),
  );
}

/**
 * The key of a figure as a list: how each thing is drawn, and what it is.
 * @param key entries of a figure
 * @returns markup that takes its colours from the variables of the style sheet
 */
export function figureKey(key: readonly KeyEntry[]): Html {
  return keyOf(key);
}

/** The key of a figure; with its drawing an entry finds its setup, which can be switched off by it in every figure. */
function keyOf(key: readonly KeyEntry[], drawing?: Drawing): Html {
  return html`<ul class="key" aria-label="Key">${key.map((entry) => {
    const setup = drawing?.data.find(({ name, meta }) => meta?.setup !== undefined && name === entry.label)?.meta?.setup;
    const inside = html`${swatch(entry)}<span>${shortName(entry.label, 60)}</span>`;
    return setup === undefined
      ? html`<li>${inside}</li>`
      : html`<li><button type="button" class="setup-key" data-setup="${setup}" aria-pressed="true">${inside}</button></li>`;
  })}</ul>`;
}

const markers: Readonly<Record<string, string>> = {
  circle: '<circle cx="16" cy="6" r="3.6"/>',
  square: '<rect x="12.6" y="2.6" width="6.8" height="6.8"/>',
  diamond: '<path d="M16 1.2 20.8 6 16 10.8 11.2 6Z"/>',
  'triangle-up': '<path d="M16 1.6 20.4 9.4H11.6Z"/>',
  x: '<path d="m12.4 3.9 1.5-1.5L16 4.5l2.1-2.1 1.5 1.5L17.5 6l2.1 2.1-1.5 1.5L16 7.5l-2.1 2.1-1.5-1.5L14.5 6Z"/>',
  star: '<path d="m16 .8 1.3 3.5 3.7.2-2.9 2.3 1 3.6L16 8.4l-3.1 2 1-3.6L11 4.5l3.7-.2Z"/>',
};

/** How a line, band or marker looks, small enough to stand before its name. */
export function swatch({ role, kind, dash, symbol }: KeyEntry): Html {
  const shape = symbol === undefined ? '' : (markers[symbol.replace(/-(open|dot)/g, '')] ?? '');
  const marker = symbol?.includes('-open') === true ? `<g class="swatch-open">${shape}</g>` : shape;
  const dashes = dash === undefined || dash === 'solid' ? '' : ` stroke-dasharray="${dash.replace(/px/g, '').replace(/[^0-9,.]/g, '')}"`;
  const shapes = {
    line: `<line x1="0" y1="6" x2="32" y2="6" class="swatch-line"${dashes}/>${marker}`,
    marker,
    band: '<rect x="0.5" y="1" width="31" height="10" class="swatch-band"/>',
    hatch:
      '<rect x="0.5" y="1" width="31" height="10" class="swatch-band"/><path d="M2 11 9 1M9 11l7-10M16 11l7-10M23 11l7-10" class="swatch-hatch"/>',
  };
  return trustedHtml(
    `<svg class="swatch role-${role.replace(/[^a-z0-9]/gi, '')}" width="32" height="12" viewBox="0 0 32 12" aria-hidden="true">${shapes[kind]}</svg>`,
  );
}
