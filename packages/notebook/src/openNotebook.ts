import type { Figure } from '@pullproof/figures';
import { html } from '@pullproof/report';
import { columnTable, type TableData } from './cell.js';
import { drawingMarkup, figureOutput } from './figureOutput.js';
import { type Frame, isFrame, tableOfFrame } from './frame.js';
import { libraryMarkup } from './library.js';
import { type StillPictures, stillPictures } from './stillPictures.js';
import { type NotebookResult, summaryHtml } from './summaryHtml.js';
import { type TableOptions, tableHtml } from './tableHtml.js';

/** Where a notebook's outputs go; `display` of the kernel. */
export interface NotebookDisplay {
  html(markup: string): void;
  png(bytes: Uint8Array): void;
}

/** What a notebook shows results with. */
export interface Notebook {
  /** A figure: a still picture, and where scripts run a drawing that zooms in its place; then its words and its numbers. */
  readonly show: (figure: Figure, options?: { readonly caption?: string }) => Promise<void>;
  /** A table. Text in it is shown as text, whatever it holds. */
  readonly table: (data: Frame | TableData, options?: TableOptions) => void;
  /** The answer in words with the warning line, then its numbers, each with band and standing, then cautions and what to do next. */
  readonly summary: (result: NotebookResult) => void;
  /** Ends the browser that makes still pictures; the next figure starts another. */
  readonly close: () => Promise<void>;
}

/**
 * Makes a notebook ready: style and plotting library go into its page once, nothing is asked of a network.
 *
 * @param display `display` of the kernel
 * @param options `pictures`: who makes still pictures; by default a Chromium on this machine, where there is one
 * @returns what to show figures, tables and results with
 */
export function openNotebook(display: NotebookDisplay, options: { readonly pictures?: StillPictures } = {}): Notebook {
  const { pictures = stillPictures() } = options;
  let told = false;
  display.html(libraryMarkup());
  return {
    show: async (figure, { caption } = {}) => {
      if (figure.status !== null) {
        display.html(
          html`<div class="pullproof"><p class="caption">${caption ?? 'No figure'}</p><p class="line">${figure.status}</p></div>`.markup,
        );
        return;
      }
      const output = figureOutput(figure, caption ?? null);
      const picture = await pictures.take(output);
      if (picture !== null) display.png(picture);
      display.html(drawingMarkup(output, picture !== null));
      const reason = pictures.reason();
      if (reason !== null && !told) {
        told = true;
        display.html(
          html`<div class="pullproof"><p class="small">No still pictures: ${reason}. Figures are drawn where scripts run, and told in words everywhere.</p></div>`
            .markup,
        );
      }
    },
    table: (data, tableOptions) => {
      display.html(tableHtml(isFrame(data) ? tableOfFrame(data) : columnTable(data), tableOptions).markup);
    },
    summary: (result) => display.html(summaryHtml(result).markup),
    close: () => pictures.close(),
  };
}
