import type { PlannedComparison, PlanResult } from '@pullproof/core';
import { displayUnits, numberText } from '@pullproof/figures';
import { cautions } from './cautions.js';
import { FigurePlaces } from './figureBlock.js';
import { pairText } from './first/verdictMark.js';
import { warningLines } from './first/warningStrip.js';
import { type Html, html, shortName } from './html.js';
import { type PageContent, type PageOptions, page } from './page.js';
import type { Topic } from './section.js';
import { findingsTopic, plainTopic } from './simpleTopic.js';
import { tableBlock } from './table.js';
import { plainName } from './text.js';
import { topicsHtml } from './topicsHtml.js';

/**
 * A plan as one HTML file that opens without a network: what the pulls can show, and what to do to show more.
 * @param result from `planTrial`; nothing else is read
 * @param options `otherUnits`: the same plan in the other system of units; `pack`: how to pack the larger part of the page
 * @returns the whole file as text; the same result gives the same bytes
 */
export function renderPlan(result: PlanResult, options: PageOptions & { readonly otherUnits?: PlanResult | undefined } = {}): string {
  const { otherUnits } = options;
  const contents = [contentOf(result), ...(otherUnits === undefined || otherUnits.units === result.units ? [] : [contentOf(otherUnits)])];
  return page(result.title, contents, { ...options, lead: 'How many more pulls would settle it?' });
}

const percent = (share: number | null, decimals = 1): string => (share === null ? '–' : `${numberText(100 * share, decimals)}%`);

function contentOf(result: PlanResult): PageContent {
  const figures = new FigurePlaces();
  const body = html`<main><section id="answer" aria-labelledby="answer-title"><h2 id="answer-title" class="for-reader">The answer</h2>
${warningLines(result.findings)}
${answerTable(result)}
${nextSteps(result)}
<p class="small muted">${cautions[0]}</p></section>
${topicsHtml(topicsOf(result), figures)}</main>`;
  return { units: result.units, body, figures };
}

function answerTable({ comparisons, units, power }: PlanResult): Html {
  if (comparisons.length === 0) return html`<p class="sentence">There is nothing to compare: the trial has fewer than two setups.</p>`;
  const unit = displayUnits[units].power;
  const shown = ({ couldHaveShownW: { value, share, status } }: PlannedComparison): string =>
    value === null ? (status ?? 'not known') : `${percent(share)} (${numberText(unit.fromSi(value), 1)} ${unit.symbol})`;
  return tableBlock(
    ['Change', 'Pulls', `Smallest change they can show, ${numberText(10 * power, 0)} times in 10`, 'To show', 'More pulls of each'],
    comparisons.map((one) => [
      html`${pairText(one)}`,
      `${one.pullsBefore} and ${one.pullsAfter}`,
      shown(one),
      percent(one.asked.share),
      one.morePullsPerSetup === null
        ? (one.status ?? 'not enough')
        : one.morePullsPerSetup === 0
          ? 'none'
          : `at least ${one.morePullsPerSetup}`,
    ]),
    { label: 'What the pulls can show' },
  );
}

function nextSteps({ comparisons }: PlanResult): Html | null {
  const advice = [...new Set(comparisons.flatMap(({ advice: texts }) => texts))];
  return advice.length === 0
    ? null
    : html`<section id="next" aria-labelledby="next-title"><h2 id="next-title">What to do next</h2><ol class="next">${advice.slice(0, 3).map((text) => html`<li>${shortName(text, 600)}</li>`)}</ol></section>`;
}

function topicsOf(result: PlanResult): readonly Topic[] {
  return [
    ...result.comparisons.map((comparison, index) => {
      const { after, before, options, parts, advice } = comparison;
      const blocks = [
        ...(options.length === 0
          ? []
          : [
              tableBlock(
                ['What to do', 'Pulls of each', 'Outings', 'Smallest change then'],
                options.map(({ how, morePullsPerSetup, moreOutingsPerSetup, thenShownShare }) => [
                  how,
                  morePullsPerSetup === null ? 'not enough' : String(morePullsPerSetup),
                  String(moreOutingsPerSetup),
                  percent(thenShownShare),
                ]),
                { label: `Ways to go on: ${shortName(after, 60)} vs ${shortName(before, 60)}`, numbersFrom: 1 },
              ),
            ]),
        ...(parts.length === 0
          ? []
          : [
              tableBlock(
                ['What limits it', 'Size, % of power', 'How known', 'Without it would show', 'What to do'],
                parts.map(({ name, share, standing, shownShareWithout, remedy }) => [
                  shortName(plainName(name), 80),
                  percent(share),
                  standing,
                  percent(shownShareWithout),
                  remedy,
                ]),
                { label: `What limits ${shortName(after, 60)} vs ${shortName(before, 60)}` },
              ),
            ]),
        html`<ul class="plain">${advice.map((text) => html`<li>${shortName(text, 600)}</li>`)}</ul>`,
      ];
      const [most] = parts;
      return plainTopic(
        `pair-${index + 1}`,
        `${shortName(after, 40)} vs ${shortName(before, 40)}`,
        most === undefined ? 'Ways to go on.' : `What limits it most: ${plainName(most.name)} (${percent(most.share)}).`,
        blocks,
      );
    }),
    ...findingsTopic(result.findings),
  ];
}
