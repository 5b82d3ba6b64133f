import type { CheckResult, ForecastResult, PlanResult, ReconcileResult, TrialResult } from '@pullproof/core';
import { cautions, type Html, html } from '@pullproof/report';
import { checkSummary } from './summaries/checkSummary.js';
import { planSummary } from './summaries/planSummary.js';
import { forecastSummary, reconcileSummary } from './summaries/stripSummaries.js';
import type { SummaryParts } from './summaries/summaryParts.js';
import { trialSummary } from './summaries/trialSummary.js';
import { tableHtml } from './tableHtml.js';

/** Whatever the commands answer with. */
export type NotebookResult = TrialResult | CheckResult | ForecastResult | ReconcileResult | PlanResult;

/** A result in words and numbers, as inert markup. */
export function summaryHtml(result: NotebookResult): Html {
  const parts = partsOf(result);
  const { title, warning, numbers, next } = parts;
  // Without an answer, why there is none is the answer.
  const [reason, ...further] = parts.answers.length === 0 ? parts.cautions : [];
  const answers = reason === undefined ? parts.answers : [{ about: 'No answer', sentence: reason }];
  const told = reason === undefined ? parts.cautions : further;
  return html`<div class="pullproof summary">
<p class="small">${title}</p>
${answers.map(({ about, sentence }, at) => html`${answers[at - 1]?.about === about ? null : html`<p class="pair">${about}</p>`}<p class="answer">${sentence}</p>`)}
${warning === null ? null : html`<div class="line ${warning.stop ? 'stop' : ''}"><p>${warning.sentence}</p>${list(warning.details)}</div>`}
${numbers.length === 0 ? null : tableHtml({ columns: ['Number', 'Value', 'Band', 'Standing'], rows: numbers.map(({ what, value, band, standing }) => [what, value, band, standing]) })}
${told.length === 0 ? null : html`<p class="caption">Cautions</p>${list(told)}`}
${next.length === 0 ? null : html`<p class="caption">What to do next</p>${list(next)}<p class="small">${cautions[0]} ${cautions[1]}</p>`}
</div>`;
}

function partsOf(result: NotebookResult): SummaryParts {
  switch (result.schema) {
    case 'pullproof/result@1':
      return trialSummary(result);
    case 'pullproof/check@1':
      return checkSummary(result);
    case 'pullproof/forecast@1':
      return forecastSummary(result);
    case 'pullproof/reconcile@1':
      return reconcileSummary(result);
    case 'pullproof/plan@1':
      return planSummary(result);
  }
}

function list(items: readonly string[]): Html | null {
  return items.length === 0 ? null : html`<ul>${items.map((item) => html`<li>${item}</li>`)}</ul>`;
}
