import type { TrialResult } from '@pullproof/core';
import { FigurePlaces } from './figureBlock.js';
import { firstScreen } from './first/firstScreen.js';
import { html } from './html.js';
import { type PageContent, type PageOptions, page } from './page.js';
import { topicsOf } from './topics/index.js';
import { topicsHtml } from './topicsHtml.js';
import { viewerData } from './viewerData.js';

/**
 * The report on a trial as one HTML file that opens without a network.
 * @param result the trial's result; nothing else is read. With `traces` the report has a pull viewer
 * @param options `otherUnits`: the same trial's result in the other system of units, for the switch in the page; `pack`: how to pack the larger part of the page
 * @returns the whole file as text; the same result gives the same bytes
 *
 * Everything from a log or a trial file is escaped where it enters the page, and the page's own policy lets nothing else run.
 */
export function renderReport(result: TrialResult, options: PageOptions & { readonly otherUnits?: TrialResult | undefined } = {}): string {
  const { otherUnits } = options;
  const contents = [
    contentOf(result),
    ...(otherUnits === undefined || otherUnits.units === result.units
      ? []
      : [contentOf(result.traces === undefined ? otherUnits : { ...otherUnits, traces: result.traces })]),
  ];
  return page(result.title, contents, {
    ...options,
    lead: 'Did it help? Power at the wheels, from the logs, uncorrected.',
    viewer: viewerData(result),
  });
}

function contentOf(result: TrialResult): PageContent {
  const figures = new FigurePlaces();
  const body = html`<main>
${firstScreen(result, figures)}
${topicsHtml(topicsOf(result), figures)}
</main>`;
  return { units: result.units, body, figures };
}
