import type { UnitSystem } from '@pullproof/figures';
import { pageParts } from '#page-parts';
import type { FigurePlaces } from './figureBlock.js';
import { type Html, html, shortName, trustedHtml } from './html.js';
import { jsonForScript } from './jsonScript.js';
import { contentPolicy } from './reportPolicy.js';
import type { ViewerData } from './viewerData.js';

/** What every page can be given besides its result. */
export interface PageOptions {
  /** Deflates text and writes it in base64 (`deflateSync(text).toString('base64')` in Node): the page is smaller by half. Without it the same stands there as it is. */
  readonly pack?: ((text: string) => string) | undefined;
}

/** What a page shows in one system of units. */
export interface PageContent {
  readonly units: UnitSystem;
  readonly body: Html;
  readonly figures: FigurePlaces;
}

const unitNames: Readonly<Record<UnitSystem, string>> = { metric: 'Metric', imperial: 'US' };

/**
 * A whole page: policy, style, content in one or two systems of units, data of the figures, script.
 * @param title of the trial, raw text
 * @param contents the first is shown, the second is behind the units switch
 * @param options `lead`: what the page is, under its title; readings for the pull viewer; how to pack
 */
export function page(
  title: string,
  contents: readonly PageContent[],
  options: PageOptions & { readonly lead: string; readonly viewer?: ViewerData | null },
): string {
  const [own, other] = contents as [PageContent, PageContent?];
  const { all, first } = own.figures;
  const isFirst = (id: string): boolean => first.includes(id);
  const firstData = { units: own.units, figures: Object.fromEntries(Object.entries(all).filter(([id]) => isFirst(id))) };
  const more = jsonForScript({
    figures: Object.fromEntries(Object.entries(all).filter(([id]) => !isFirst(id))),
    other: other === undefined ? null : { units: other.units, body: withoutStills(other.body.markup), figures: other.figures.all },
    viewer: options.viewer ?? null,
  });
  const packed = options.pack?.(more);
  return html`<!doctype html>
<html lang="en">
<head>
<meta http-equiv="Content-Security-Policy" content="${trustedHtml(contentPolicy())}">
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta name="color-scheme" content="light dark">
<meta name="referrer" content="no-referrer">
<title>${shortName(title, 160)}</title>
<style>${trustedHtml(pageParts.style)}</style>
<noscript><style>${trustedHtml(pageParts.bareStyle)}</style></noscript>
</head>
<body>
<a class="skip" href="#answer">To the answer</a>
${hatches}
<header><div><h1>${shortName(title, 160)}</h1><p class="muted">${options.lead}</p></div>
${other === undefined ? null : html`<div class="units no-print" role="group" aria-label="Units">${(['imperial', 'metric'] as const).map((units) => html`<button type="button" data-units="${units}" aria-pressed="${units === own.units ? 'true' : 'false'}">${unitNames[units]}</button>`)}</div>`}</header>
<div id="content">
${own.body}
</div>
<script type="application/json" id="report-data">${trustedHtml(jsonForScript(firstData))}</script>
<script type="text/plain" id="more-data" data-packed="${packed === undefined ? 'no' : 'yes'}">${trustedHtml(packed ?? more)}</script>
<script type="module">${trustedHtml(pageParts.script)}</script>
</body>
</html>
`.markup;
}

/** The script draws what it puts into the page: pictures drawn beforehand are for pages without one. */
function withoutStills(markup: string): string {
  return markup.replace(/<noscript><svg[\s\S]*?<\/svg><\/noscript>/g, '').replace(/<svg class="figure"[\s\S]*?<\/svg>/g, '');
}

/** Hatchings that areas of every figure are filled with. */
const hatches = trustedHtml(
  `<svg class="for-reader" width="1" height="1" aria-hidden="true"><defs>${['air', 'setup1', 'setup2']
    .map(
      (role) =>
        `<pattern id="hatch-${role}" width="7" height="7" patternUnits="userSpaceOnUse"><path d="M-1 1l2-2M0 7l7-7M6 8l2-2" class="s-${role}" stroke-width="1.1"/></pattern>`,
    )
    .join('')}</defs></svg>`,
);
