import type { KeyEntry } from '@pullproof/figures';
import { type Html, html, shortName, trustedHtml } from './html.js';
import type { FigureBlock } from './section.js';
import { figureTable } from './table.js';

/**
 * A figure in the page: caption, key, the place where it is drawn, its words and its numbers.
 * @param block figure and caption
 * @param number its number in the report; also its name in the page's data
 */
export function figureHtml({ figure, caption }: FigureBlock, number: number): Html {
  const id = `figure-${number}`;
  const title = html`<span class="figure-number">Figure ${number}.</span> ${shortName(caption)}`;
  if (figure.status !== null)
    return html`<figure class="no-figure" id="${id}"><figcaption>${title}</figcaption><p>${shortName(figure.status, 400)}</p></figure>`;
  const height = typeof figure.layout.height === 'number' ? figure.layout.height : 340;
  return html`<figure id="${id}" aria-labelledby="${id}-title">
<figcaption id="${id}-title">${title}</figcaption>
${figureKey(figure.key)}
<div class="plot" data-figure="${id}" style="height:${height}px" role="img" aria-label="${shortName(caption)}" aria-describedby="${id}-words"></div>
${figure.notes.map((note) => html`<p class="small muted">${shortName(note, 300)}</p>`)}
<details><summary>In words and numbers<span class="for-reader">: ${shortName(caption)}</span></summary>
<p id="${id}-words">${shortName(figure.summary, 4000)}</p>
${figureTable(figure.table, `Numbers of figure ${number}`)}</details>
</figure>`;
}

/**
 * The key of a figure as a list: how each thing is drawn, and what it is.
 * @param key entries of a figure
 * @returns markup that takes its colours from the variables of the style sheet
 */
export function figureKey(key: readonly KeyEntry[]): Html {
  return html`<ul class="key" aria-label="Key">${key.map((entry) => html`<li>${swatch(entry)}<span>${shortName(entry.label, 60)}</span></li>`)}</ul>`;
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
function swatch({ role, kind, dash, symbol }: KeyEntry): Html {
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
