import type { BandedNumber, ReconciledSlip, ReconcileResult } from '@pullproof/core';
import { bandText, loggedMotionFigure, numberText, slipMarksFigure } from '@pullproof/figures';
import { FigurePlaces } from '../figureBlock.js';
import { warningLines } from '../first/warningStrip.js';
import { type Html, html, shortName } from '../html.js';
import { type PageContent, type PageOptions, page } from '../page.js';
import type { Topic } from '../section.js';
import { findingsTopic, plainTopic } from '../simpleTopic.js';
import { tableBlock } from '../table.js';
import { topicsHtml } from '../topicsHtml.js';
import { markText, secondsText } from './stripText.js';

const three = (value: number | null, signed = false): string => numberText(value, 3, { signed });
const banded = (value: BandedNumber | null, decimals: number): string =>
  value === null ? '–' : bandText(value.value, value.low, value.high, { decimals, unit: '' });

/**
 * Slips beside their logs as one HTML file that opens without a network.
 * @param result from `reconcileTrial`; nothing else is read
 * @param options `otherUnits`: the same in the other system of units; `pack`: how to pack the larger part of the page
 * @returns the whole file as text; the same result gives the same bytes
 */
export function renderReconcile(
  result: ReconcileResult,
  options: PageOptions & { readonly otherUnits?: ReconcileResult | undefined } = {},
): string {
  const { otherUnits } = options;
  const contents = [contentOf(result), ...(otherUnits === undefined || otherUnits.units === result.units ? [] : [contentOf(otherUnits)])];
  return page(result.title, contents, { ...options, lead: 'After the strip: does the slip agree?' });
}

function contentOf(result: ReconcileResult): PageContent {
  const figures = new FigurePlaces();
  const logged = result.slips.some(({ splits }) => splits.some(({ logS }) => logS !== null));
  const body = html`<main><section id="answer" aria-labelledby="answer-title"><h2 id="answer-title" class="for-reader">The answer</h2>
${warningLines(result.findings)}
${result.slips.length === 0 ? html`<p class="sentence">The trial has no slips.</p>` : result.slips.map(slipAnswer)}
${setupsBySlips(result)}
${
  logged
    ? html`<div class="pair-panel" data-pair="0"><div>${figures.place({ figure: slipMarksFigure(result), caption: slipsTitle(result) }, { first: true })}</div>
<div class="why">${result.cautions.map((caution) => html`<p class="small">${caution}</p>`)}</div></div>`
    : result.cautions.map((caution) => html`<p class="small">${caution}</p>`)
}</section>
${topicsHtml(topicsOf(result), figures)}</main>`;
  return { units: result.units, body, figures };
}

/** One sentence a slip; what stands behind it in the topics. */
function slipAnswer({ name, setup, reasons }: ReconciledSlip): Html {
  return html`<p><b>${shortName(name, 60)}</b>, ${shortName(setup, 60)}: ${shortName(reasons[0] ?? 'nothing to compare it with.', 300)}</p>`;
}

function slipsTitle({ slips }: ReconcileResult): string {
  const marks = slips.flatMap(({ splits }) => splits).filter(({ slipS, logS }) => slipS !== null && logS !== null);
  const inside = marks.filter(({ slipS, low, high }) => low !== null && high !== null && slipS! >= low && slipS! <= high).length;
  return inside === marks.length ? 'Log and slip agree at every mark' : `Log and slip agree at ${inside} of ${marks.length} marks`;
}

function setupsBySlips({ comparisons }: ReconcileResult): Html | null {
  if (comparisons.length === 0) return null;
  const words = {
    'more than noise': 'a clear difference',
    'not more than noise': 'no clear difference',
    'cannot tell': 'cannot tell',
  } as const;
  return tableBlock(
    ['By the slips, same air', 'Verdict', 'Quarter mile, s', 'Passes repeat to, s', 'Passes of each to settle it'],
    comparisons.map(({ before, after, etS, verdict, runToRunS, passesNeeded }) => [
      html`<b>${shortName(after, 40)}</b> vs ${shortName(before, 40)}`,
      html`<span data-verdict="${words[verdict]}">${words[verdict]}</span>`,
      etS === null ? '–' : secondsText(etS, { signed: true }),
      numberText(runToRunS, 2),
      passesNeeded === null ? '–' : numberText(passesNeeded, 0),
    ]),
    { label: 'Setups by their slips', numbersFrom: 2 },
  );
}

function topicsOf(result: ReconcileResult): readonly Topic[] {
  return [
    plainTopic('marks', 'Mark by mark', 'Slip, log, and their difference.', result.slips.map(marksBlock)),
    plainTopic('motion', 'The logged pass', 'Speed against distance, and what the fit found.', [
      { figure: loggedMotionFigure(result), caption: 'Speed against distance, from the log, lined up with the slip' },
      tableBlock(
        [
          'Slip',
          'Timer started, s into the log',
          'True over logged speed',
          'Spin at launch',
          'Power the trap speed calls for, vs the pulls',
        ],
        result.slips.map((slip) => [
          shortName(slip.name, 60),
          numberText(slip.launchS, 2),
          banded(slip.speedScale, 4),
          slip.launchSpin === null ? '–' : `${numberText(100 * slip.launchSpin, 0)}%`,
          banded(slip.powerScaleFromTrap, 3),
        ]),
        { label: 'What the fit found', numbersFrom: 1 },
      ),
    ]),
    ...findingsTopic(result.findings),
  ];
}

function marksBlock(slip: ReconciledSlip): Html {
  const title = html`<h3>${shortName(slip.name, 60)}, ${shortName(slip.setup, 60)}</h3><ul class="plain">${slip.reasons.map((reason) => html`<li>${reason}</li>`)}</ul>`;
  if (!slip.splits.some(({ logS }) => logS !== null)) return html`${title}<p class="muted">No log of this pass.</p>`;
  return html`${title}${tableBlock(
    ['Mark', 'Slip, s', 'Log, s', 'Difference', 'Margin of the log', 'Used for'],
    slip.splits.map(({ mark, slipS, logS, low, high, usedInFit }) => [
      markText(mark),
      three(slipS),
      three(logS),
      slipS === null || logS === null ? '–' : three(logS - slipS, true),
      low === null ? '–' : `${three(low)} to ${three(high)}`,
      usedInFit ? 'lining up' : 'checking',
    ]),
    { label: `Splits of ${shortName(slip.name, 60)}`, numbersFrom: 1 },
  )}`;
}
