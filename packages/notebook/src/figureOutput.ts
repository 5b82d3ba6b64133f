import { randomUUID } from 'node:crypto';
import type { Figure } from '@pullproof/figures';
import { figureKey, type Html, html, jsonForScript } from '@pullproof/report';
import { tableHtml } from './tableHtml.js';

/** A figure as a notebook shows it. */
export interface FigureOutput {
  readonly id: string;
  /** Caption, key and the place to draw in; not shown before it is drawn. */
  readonly block: Html;
  /** What is given to the script that draws, as JSON that may stand inside a script element. */
  readonly drawing: (picture: boolean) => string;
  /** What it shows in words, what it leaves out, and its numbers. */
  readonly words: Html;
}

/** A figure's parts as inert markup. */
export function figureOutput(figure: Figure, caption: string | null): FigureOutput {
  const id = `pullproof-${randomUUID()}`;
  const height = typeof figure.layout.height === 'number' ? figure.layout.height : 340;
  const title = caption ?? firstSentence(figure.summary);
  return {
    id,
    block: html`<div class="pullproof figure" id="${id}" style="display:none">
<p class="caption">${title}</p>
${figureKey(figure.key)}
<div class="plot" style="height:${height}px" role="img" aria-label="${title}"></div>
</div>`,
    drawing: (picture) => jsonForScript({ data: figure.data, layout: { ...figure.layout, showlegend: false }, picture }),
    words: html`<div class="pullproof words">
${figure.notes.map((note) => html`<p class="small">${note}</p>`)}
<p class="small">${figure.summary}</p>
${figure.table.rows.length === 0 ? null : html`<details><summary>Its numbers</summary>${tableHtml(figure.table)}</details>`}
</div>`,
  };
}

/** What stands in a notebook's page for the figure: the block, and the call that draws it as soon as the library is there. */
export function drawingMarkup(output: FigureOutput, picture: boolean): string {
  const call = `(function f(n){window.pullproofDraw?window.pullproofDraw("${output.id}",${output.drawing(picture)}):n>0&&setTimeout(function(){f(n-1)},100)})(100)`;
  return `${output.block.markup}\n<script>${call}</script>\n${output.words.markup}`;
}

function firstSentence(text: string): string {
  return /^.*?\.(?=\s|$)/.exec(text)?.[0] ?? text;
}
