import type { TrialResult } from '@pullproof/core';
import { differenceFigure, differenceTitle } from '@pullproof/figures';
import type { FigurePlaces } from '../figureBlock.js';
import { type Html, html, shortName } from '../html.js';
import { keepTogether, splitSentence } from '../text.js';
import { couldBeWhy } from './couldBeWhy.js';
import { nextSteps } from './nextSteps.js';
import { paperConditions } from './paperConditions.js';
import { pairText, verdictMark } from './verdictMark.js';
import { verdictTable } from './verdictTable.js';
import { warningStrip } from './warningStrip.js';

/** What has to be answered in five seconds: stop, verdicts, the difference, what else could be why, what to do next. */
export function firstScreen(result: TrialResult, figures: FigurePlaces): Html {
  const { overall, comparisons } = result;
  const several = comparisons.length > 1;
  const answer =
    overall.length === 0
      ? html`<p class="sentence">Nothing was compared: the trial has fewer than two setups.</p>`
      : several
        ? verdictTable(result)
        : singleVerdict(result);
  return html`<section id="answer" class="${several ? 'several' : 'single'}" aria-labelledby="answer-title">
<h2 id="answer-title" class="for-reader">The answer</h2>
<div class="verdict-part">${warningStrip(result)}
${answer}
${several ? choiceOfPair(result) : null}</div>
${comparisons.map((_, index) => pairPanel(result, index, figures))}
${nextSteps(result)}
${paperConditions(result)}
</section>`;
}

function singleVerdict({ overall }: TrialResult): Html {
  const [one] = overall;
  const [first, rest] = splitSentence(one!.sentence);
  return html`<div class="answer">
<p class="pair">${pairText(one!)}</p>
<p class="sentence">${verdictMark(one!.verdict, { before: first })}</p>
${rest === '' ? null : html`<p class="rest">${keepTogether(rest)}</p>`}
</div>`;
}

function choiceOfPair({ comparisons }: TrialResult): Html {
  return html`<p class="choice no-print"><label for="pair-choice">Graph of</label> <select id="pair-choice">${comparisons.map(
    ({ before, after }, index) => html`<option value="${index}">${shortName(after, 40)} vs ${shortName(before, 40)}</option>`,
  )}</select></p>`;
}

/** The difference of one pair and what else could have made it. The first is shown; the reader chooses another. */
function pairPanel(result: TrialResult, index: number, figures: FigurePlaces): Html {
  const several = result.comparisons.length > 1;
  const figure = figures.place(
    {
      figure: differenceFigure(result, { comparison: index, commonScale: several }),
      caption: keepTogether(differenceTitle(result, { comparison: index })),
    },
    { first: index === 0, keyless: true },
  );
  const rest = several ? splitSentence(result.overall[index]?.sentence ?? '')[1] : '';
  return html`<div class="pair-panel" data-pair="${index}"${index === 0 ? null : html` hidden`}>
<div>${figure}${rest === '' ? null : html`<p class="rest small">${keepTogether(rest)}</p>`}</div>
${couldBeWhy(result, index)}
</div>`;
}
