import type { TrialResult } from '@pullproof/core';
import { type Figure, palette } from '@pullproof/figures';
import { contentPolicy } from './contentPolicy.js';
import { figureHtml } from './figureBlock.js';
import { Html, html, shortName, trustedHtml } from './html.js';
import { jsonForScript } from './jsonScript.js';
import { pageScripts } from './pageScripts.js';
import type { Block, FigureBlock, ReportSection } from './section.js';
import { firstScreen, furtherSections } from './sections/index.js';
import { styleSheet } from './styleSheet.js';

/**
 * The report on a trial as one HTML file that opens without a network.
 * @param result the trial's result; nothing else is read
 * @returns the whole file as text; the same result gives the same bytes
 *
 * Everything from a log or a trial file is escaped where it enters the page, and the page's own policy lets nothing else run.
 */
export function renderReport(result: TrialResult): string {
  const figures = new FigureNumbers();
  const first = firstScreen.map((section) =>
    sectionHtml(section, result, figures, { hiddenTitle: section.id === 'answer' || section.id === 'warning' }),
  );
  const further = furtherSections.flatMap((section) => {
    const body = sectionHtml(section, result, figures, { className: 'section' });
    return body === null ? [] : [{ section, body }];
  });
  const single = result.comparisons.length === 1;
  const body = html`<a class="skip" href="#answer">To the answer</a>
<header><h1>${shortName(result.title, 160)}</h1><p>Did it help? <span class="muted">Wheel power from the logs, uncorrected</span></p></header>
<main>
<div class="first ${single ? 'single' : 'several'}">${first}</div>
<nav aria-label="Sections"><ul>${further.map(({ section }) => html`<li><a href="#${section.id}">${section.title}</a></li>`)}</ul></nav>
${further.map(({ body }) => body)}
</main>
<noscript><p class="line">The figures are drawn by the script inside this file, and scripts are switched off. Their numbers stand under “In words and numbers”.</p></noscript>`;
  return page(result.title, body, { figures: figures.all, palette });
}

/** Numbers figures in the order in which they are met. */
export class FigureNumbers {
  readonly all: { [id: string]: Pick<Figure, 'data' | 'layout'> } = {};
  private count = 0;

  place(block: FigureBlock): Html {
    this.count += 1;
    if (block.figure.status === null)
      this.all[`figure-${this.count}`] = { data: block.figure.data, layout: { ...block.figure.layout, showlegend: false } };
    return figureHtml(block, this.count);
  }
}

function sectionHtml(
  section: ReportSection,
  result: TrialResult,
  figures: FigureNumbers,
  options: { readonly className?: string; readonly hiddenTitle?: boolean },
): Html | null {
  const blocks = section.render(result);
  if (blocks === null) return null;
  const place = (block: Block): Html => {
    if (block instanceof Html) return block;
    if ('figure' in block) return figures.place(block);
    return html`<div class="side-by-side">${block.map((item) => figures.place(item))}</div>`;
  };
  return html`<section id="${section.id}" class="${options.className ?? ''}" aria-labelledby="${section.id}-title">
<h2 id="${section.id}-title" class="${options.hiddenTitle === true ? 'for-reader' : ''}">${section.title}</h2>
${blocks.map(place)}
</section>`;
}

/** A whole page around a body: policy, style, scripts, the figures' data. */
export function page(title: string, body: Html, data: unknown): string {
  const style = styleSheet();
  const scripts = pageScripts();
  return html`<!doctype html>
<html lang="en">
<head>
<meta http-equiv="Content-Security-Policy" content="${trustedHtml(contentPolicy({ scriptHashes: scripts.hashes, style }))}">
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta name="color-scheme" content="light dark">
<meta name="referrer" content="no-referrer">
<title>${shortName(title, 160)}</title>
<style>${trustedHtml(style)}</style>
</head>
<body>
${body}
<script type="application/json" id="report-data">${trustedHtml(jsonForScript(data))}</script>
${trustedHtml(scripts.packedLibrary)}
<script type="module">${trustedHtml(scripts.own)}</script>
</body>
</html>
`.markup;
}
