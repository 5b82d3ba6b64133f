import type { CheckedLog, CheckResult } from '@pullproof/core';
import { logUnits, type UnitSystem } from '@pullproof/figures';
import { cautions } from './cautions.js';
import { checkedLogTopic, fitnessWords, workWords } from './checkedLog.js';
import { FigurePlaces } from './figureBlock.js';
import { type Html, html, shortName } from './html.js';
import { type PageContent, type PageOptions, page } from './page.js';
import { tableBlock } from './table.js';
import { topicsHtml } from './topicsHtml.js';

const works = ['pull', 'idle', 'cruise'] as const;
/** Beyond this many logs the first screen counts them instead of listing them. */
const mostListed = 12;

/**
 * What logs are good for, as one HTML file that opens without a network.
 * @param result from `check`; nothing else is read
 * @param options how to pack the larger part of the page
 * @returns the whole file as text; the same result gives the same bytes
 */
export function renderCheck(result: CheckResult, options: PageOptions = {}): string {
  const imperial = result.logs.filter((log) => logUnits(log) === 'imperial').length;
  const own: UnitSystem = imperial * 2 > result.logs.length ? 'imperial' : 'metric';
  const contents = [own, own === 'metric' ? 'imperial' : 'metric'].map((units) => contentOf(result, units as UnitSystem));
  return page('What is in these logs', contents, { ...options, lead: 'What are they good for, and what to log next?' });
}

function contentOf(result: CheckResult, units: UnitSystem): PageContent {
  const figures = new FigurePlaces();
  const next = nextLogs(result);
  const body = html`<main><section id="answer" aria-labelledby="answer-title"><h2 id="answer-title" class="for-reader">The answer</h2>
${verdicts(result)}
${
  next.length === 0
    ? null
    : html`<section id="next" aria-labelledby="next-title"><h2 id="next-title">What to log next</h2><ol class="next">${next.slice(0, 3).map((text) => html`<li>${shortName(text, 400)}</li>`)}</ol></section>
<p class="small muted">${cautions[0]}</p>`
}</section>
${topicsHtml(
  result.logs.map((log, index) => checkedLogTopic(log, index + 1, { units, alone: result.logs.length === 1 })),
  figures,
)}</main>`;
  return { units, body, figures };
}

/** Advice for every log, that of most logs first. */
function nextLogs({ logs }: CheckResult): readonly string[] {
  const counts = new Map<string, number>();
  for (const { fitness = [] } of logs)
    for (const text of new Set(fitness.flatMap(({ next }) => next))) counts.set(text, (counts.get(text) ?? 0) + 1);
  return [...counts].sort((a, b) => b[1] - a[1]).map(([text]) => text);
}

function verdicts({ logs, together }: CheckResult): Html {
  const unread = logs.filter(({ dialect }) => dialect === null).length;
  const sentence = works.flatMap((work) => {
    const verdict = together?.works.find((one) => one.work === work)?.verdict;
    return verdict === undefined ? [] : [html`${workWords[work]} ${verdictHtml(verdict)}`];
  });
  return html`${
    sentence.length === 0
      ? null
      : html`<p class="sentence">${logs.length === 1 ? 'This log' : `These ${logs.length} logs together`}: ${sentence.map((part, at) => html`${at === 0 ? null : ', '}${part}`)}${unread === 0 ? '' : `; ${unread} could not be read`}.</p>`
  }
${
  logs.length < 2 || logs.length > mostListed
    ? null
    : tableBlock(
        ['Log', ...works.map((work) => workWords[work])],
        logs.map((log, index) => [
          html`<a href="#log-${index + 1}">${shortName(log.path === '-' ? 'standard input' : log.path, 60)}</a>`,
          ...works.map((work) => verdictOf(log, work)),
        ]),
        { label: 'What each log is good for', flat: true },
      )
}${
  together === undefined || together.missingForComparison.length === 0
    ? null
    : html`<p class="small">For a comparison of two setups is still missing: ${shortName(together.missingForComparison.join('; '), 500)}.</p>`
}`;
}

function verdictOf({ fitness, dialect }: CheckedLog, work: (typeof works)[number]): Html {
  const verdict = fitness?.find((one) => one.work === work)?.verdict;
  return verdict === undefined ? html`<span class="muted">${dialect === null ? 'not read' : '–'}</span>` : verdictHtml(verdict);
}

function verdictHtml(verdict: keyof typeof fitnessWords): Html {
  const { word, role } = fitnessWords[verdict];
  return html`<span class="tone role-${role}" data-verdict="${word}">${word}</span>`;
}
