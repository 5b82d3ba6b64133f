import type { ForecastResult, WorthResult } from '@pullproof/core';
import { bestForecasts, displayUnits, gapFigure, numberText } from '@pullproof/figures';
import { FigurePlaces } from '../figureBlock.js';
import { warningLines } from '../first/warningStrip.js';
import { type Html, html, shortName } from '../html.js';
import { type PageContent, type PageOptions, page } from '../page.js';
import { tableBlock } from '../table.js';
import { topicsHtml } from '../topicsHtml.js';
import { forecastTopics } from './forecastTopics.js';
import { secondsText, speedText } from './stripText.js';

/**
 * A forecast as one HTML file that opens without a network.
 * @param result from `forecastTrial`; nothing else is read
 * @param options `otherUnits`: the same forecast in the other system of units; `pack`: how to pack the larger part of the page
 * @returns the whole file as text; the same result gives the same bytes
 */
export function renderForecast(
  result: ForecastResult,
  options: PageOptions & { readonly otherUnits?: ForecastResult | undefined } = {},
): string {
  const { otherUnits } = options;
  const contents = [contentOf(result), ...(otherUnits === undefined || otherUnits.units === result.units ? [] : [contentOf(otherUnits)])];
  return page(result.title, contents, { ...options, lead: 'Before the strip: what will it run?' });
}

function contentOf(result: ForecastResult): PageContent {
  const figures = new FigurePlaces();
  const body = html`<main><section id="answer" aria-labelledby="answer-title"><h2 id="answer-title" class="for-reader">The answer</h2>
${warningLines(result.findings)}
${pairedDifferences(result)}
${forecasts(result)}
<div class="pair-panel" data-pair="0"><div>${figures.place({ figure: gapFigure(result), caption: gapTitle(result) }, { first: true, keyless: true })}</div>
<div class="why">${result.cautions.map((caution) => html`<p class="small">${caution}</p>`)}</div></div>
</section>
${topicsHtml(forecastTopics(result), figures)}</main>`;
  return { units: result.units, body, figures };
}

/** What each change of setup is worth: both passes on the same day with the same luck. */
function worthOfSetups({
  worth,
  forecasts: all,
}: ForecastResult): { readonly before: string; readonly after: string; readonly worth: WorthResult }[] {
  const setups = [...new Set(all.map(({ setup }) => setup))];
  return setups.flatMap((before, place) =>
    setups.slice(place + 1).flatMap((after) => {
      const found = worth.find(({ change }) => change === `${before} to ${after}` || change === `${after} vs ${before}`);
      return found === undefined ? [] : [{ before, after, worth: found }];
    }),
  );
}

/** Whether a difference is clear of none. */
function clearWord({ low, high }: WorthResult['etS']): string {
  return high < 0 ? 'quicker' : low > 0 ? 'slower' : 'no clear difference';
}

function pairedDifferences(result: ForecastResult): Html | null {
  const pairs = worthOfSetups(result);
  if (pairs.length === 0) return null;
  const { speed } = displayUnits[result.units];
  return tableBlock(
    ['Change, same day and luck', 'Verdict', 'Quarter mile, s', `Trap, ${speed.symbol}`],
    pairs.map(({ before, after, worth: { etS, trapMps } }) => [
      html`<b>${shortName(after, 40)}</b> vs ${shortName(before, 40)}`,
      html`<span data-verdict="${clearWord(etS)}">${clearWord(etS)}</span>`,
      secondsText(etS, { signed: true }),
      speedText(trapMps, result.units, true),
    ]),
    { label: 'What a change of setup is worth', numbersFrom: 2 },
  );
}

function gapTitle(result: ForecastResult): string {
  const [pair] = worthOfSetups(result);
  if (pair === undefined) return 'Gap along the strip';
  const { etS } = pair.worth;
  const clear = clearWord(etS);
  const finding = clear === 'no clear difference' ? clear : `${numberText(Math.abs(etS.value), 2)} s ${clear} at the stripe`;
  return `${shortName(pair.after, 40)} vs ${shortName(pair.before, 40)}: ${finding}`;
}

function forecasts(result: ForecastResult): Html {
  const { speed, length } = displayUnits[result.units];
  const simulated = bestForecasts(result);
  const best = simulated.length > 0 ? simulated : result.forecasts;
  const altitude = result.day === null ? null : altitudeText(result.day.densityAltitudeM, length.symbol === 'in');
  return html`${tableBlock(
    ['Forecast', 'Quarter mile, s', `Trap, ${speed.symbol}`],
    best.map(({ setup, etS, trapMps }) => [shortName(setup, 60), secondsText(etS), speedText(trapMps, result.units)]),
    { label: 'Forecast of each setup', numbersFrom: 1, flat: true },
  )}${result.day === null ? null : html`<p class="small muted">For ${shortName(result.day.source, 160)}: density altitude ${altitude}.</p>`}`;
}

function altitudeText(metres: number, feet: boolean): string {
  return feet ? `${numberText(Math.round(metres / 0.3048 / 10) * 10, 0)} ft` : `${numberText(metres, 0)} m`;
}
