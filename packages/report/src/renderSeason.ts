import type { SeasonNumber, SeasonResult } from '@pullproof/core';
import { displayUnits, intervalsFigure, numberText } from '@pullproof/figures';
import { cautions } from './cautions.js';
import { FigurePlaces } from './figureBlock.js';
import { pairText, verdictMark } from './first/verdictMark.js';
import { warningLines } from './first/warningStrip.js';
import { type Html, html, shortName } from './html.js';
import { type PageContent, type PageOptions, page } from './page.js';
import type { Topic } from './section.js';
import { findingsTopic, plainTopic } from './simpleTopic.js';
import { tableBlock } from './table.js';
import { topicsHtml } from './topicsHtml.js';

/**
 * A season as one HTML file that opens without a network: every setup and day of one car on one scale.
 * @param result from `seasonOfTrials`; nothing else is read
 * @param options `pack`: how to pack the larger part of the page
 * @returns the whole file as text; the same result gives the same bytes
 */
export function renderSeason(result: SeasonResult, options: PageOptions = {}): string {
  return page(result.title, [contentOf(result)], {
    ...options,
    lead: 'One car over its days. Power at the wheels, carried to one air density.',
  });
}

const percent = (share: number, signed = true): string => `${numberText(100 * share, 1, { signed })}%`;
const margin = ({ low, high }: SeasonNumber, show: (value: number) => string): string => `${show(low)} to ${show(high)}`;

function contentOf(result: SeasonResult): PageContent {
  const figures = new FigurePlaces();
  const { power } = displayUnits[result.units];
  const { range, setups } = result;
  const first = setups[0];
  const body = html`<main><section id="answer" aria-labelledby="answer-title"><h2 id="answer-title" class="for-reader">The answer</h2>
${warningLines(result.findings)}
${range === null ? html`<p class="sentence" data-verdict="cannot tell">Cannot tell. ${result.status}</p>` : setupsTable(result)}
${
  range === null
    ? null
    : figures.place(
        {
          caption: `Every setup, ${numberText(range.fromRpm, 0)} to ${numberText(range.toRpm, 0)} rpm`,
          figure: intervalsFigure(
            setups.flatMap(({ name, wheelPowerW }) => (wheelPowerW === null ? [] : [{ label: name, ...wheelPowerW }])),
            { title: 'Mean power at the wheels', unit: power },
          ),
        },
        { first: true },
      )
}
${result.overall.filter(({ before }) => before === first?.name).map((one) => html`<p class="small">${pairText(one)}: ${verdictMark(one.verdict, { before: one.sentence })}</p>`)}
${nextSteps(result)}
<p class="small muted">${cautions[0]}</p></section>
${topicsHtml(topicsOf(result), figures)}</main>`;
  return { units: result.units, body, figures };
}

function setupsTable({ setups, units }: SeasonResult): Html {
  const { power } = displayUnits[units];
  const watts = (value: number): string => numberText(power.fromSi(value), 0);
  return tableBlock(
    ['Setup', 'Pulls', 'Days', `Mean ${power.symbol}`, 'Margin (95%)', `vs ${shortName(setups[0]?.name ?? '', 30)}`, 'Margin (95%)'],
    setups.map(({ name, pulls, outings, wheelPowerW, change }) => [
      shortName(name, 60),
      `${pulls}`,
      `${outings}`,
      wheelPowerW === null ? '–' : watts(wheelPowerW.value),
      wheelPowerW === null ? '–' : margin(wheelPowerW, watts),
      change === null ? '–' : percent(change.value),
      change === null ? '–' : margin(change, percent),
    ]),
    { label: 'Every setup on one scale', numbersFrom: 1 },
  );
}

function nextSteps({ overall }: SeasonResult): Html | null {
  const steps = [...new Set(overall.flatMap(({ next }) => next ?? []))].slice(0, 3);
  return steps.length === 0
    ? null
    : html`<section id="next" aria-labelledby="next-title"><h2 id="next-title">What to do next</h2><ol class="next">${steps.map((text) => html`<li>${shortName(text, 600)}</li>`)}</ol></section>`;
}

function topicsOf(result: SeasonResult): readonly Topic[] {
  const { days, repeats, drift, slips, fuel, logBook } = result;
  const share = { symbol: '%', decimals: 1, fromSi: (value: number) => 100 * value };
  const topics: Topic[] = [];
  if (repeats !== null && days.length > 0) {
    const { dayToDay, pullToPull } = repeats;
    topics.push(
      plainTopic(
        'days',
        'Days',
        `Days differ by ${percent(dayToDay.value, false)}, pulls by ${percent(pullToPull.value, false)}.`,
        [
          {
            caption: 'What each day read high or low by',
            figure: intervalsFigure(
              days.map(({ name, effect }) => ({ label: name, ...effect })),
              { title: 'High or low by', unit: share, reference: 0, signed: true },
            ),
          },
          tableBlock(
            ['Day', 'Setups', 'Pulls', 'High or low by', 'Margin (95%)'],
            days.map(({ name, setups, pulls, effect }) => [
              shortName(name, 60),
              shortName(setups.join(', '), 120),
              `${pulls}`,
              percent(effect.value),
              margin(effect, percent),
            ]),
            { label: 'Days', numbersFrom: 2 },
          ),
          html`<p>Day-to-day difference: ${percent(dayToDay.value, false)} (${margin(dayToDay, (value) => percent(value, false))}), ${dayToDay.source}. For later trials of this car: <code>day-to-day: { spread: ${percent(dayToDay.value, false)}, days: ${dayToDay.days} }</code></p>`,
        ],
        dayToDay.measured ? 'measured' : 'assumed',
      ),
    );
  }
  topics.push(
    plainTopic(
      'drift',
      'The car itself',
      drift.in30Days === null
        ? `Cannot tell: ${drift.status}.`
        : `${percent(drift.in30Days.value)} in 30 days (${margin(drift.in30Days, percent)}).`,
      [
        html`<p>${drift.in30Days === null ? `Whether the car itself drifts (plugs, clutch, heat): ${drift.status}.` : `The car itself: ${percent(drift.in30Days.value)} in 30 days (${margin(drift.in30Days, percent)}), ${drift.status}.`}</p>`,
        drift.airExponentLeft === null
          ? html`<p class="muted">Whether the weather was carried rightly: ${drift.status}.</p>`
          : html`<p>Exponent of air density left over: ${numberText(drift.airExponentLeft.value, 2, { signed: true })} (${margin(drift.airExponentLeft, (value) => numberText(value, 2, { signed: true }))}); zero means that the weather was carried rightly.</p>`,
      ],
    ),
  );
  if (slips.length > 0) {
    const seconds = (value: number | null | undefined): string => (value == null ? '–' : numberText(value, 3));
    const best = slips.filter((slip) => slip.best);
    topics.push(
      plainTopic(
        'strip',
        'Strip',
        best.length === 0
          ? 'Slips could not be carried to one air.'
          : `Best in one air: ${best.map(({ setup, inOneAir }) => `${shortName(setup, 30)} ${seconds(inOneAir?.etS)} s`).join(', ')}.`,
        [
          tableBlock(
            ['Slip', 'Setup', 'ET, s', 'In the air of the first, s', 'Best of its setup'],
            slips.map(({ name, setup, etS, inOneAir, best: isBest }) => [
              shortName(name, 60),
              shortName(setup, 60),
              seconds(etS),
              seconds(inOneAir?.etS),
              isBest ? 'yes' : '',
            ]),
            { label: 'Slips in one air', numbersFrom: 2 },
          ),
        ],
      ),
    );
  }
  if (fuel.length > 0)
    topics.push(
      plainTopic('fuel', 'Fuel', 'Fuel needed over fuel delivered, in the middle cell of each setup.', [
        tableBlock(
          ['Setup', 'Fueling error', 'Cells', 'From', 'To'],
          fuel.map(({ setup, factor, cells, low, high }) => [
            shortName(setup, 60),
            numberText(factor, 3),
            `${cells}`,
            numberText(low, 3),
            numberText(high, 3),
          ]),
          { label: 'Fueling error by setup', numbersFrom: 1 },
        ),
      ]),
    );
  if (logBook.length > 0)
    topics.push(
      plainTopic('log-book', 'Log book', 'What was changed, in the order of the trials.', [
        html`<ul class="plain">${logBook.map(({ trial, setup, lines }) => html`<li><b>${shortName(trial, 80)}, ${shortName(setup, 60)}:</b> ${shortName(lines.join('; '), 900)}</li>`)}</ul>`,
      ]),
    );
  return [...topics, ...findingsTopic(result.findings)];
}
