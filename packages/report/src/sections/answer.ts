import type { OverallResult, Verdict } from '@pullproof/core';
import { type Html, html, shortName, trustedHtml } from '../html.js';
import type { ReportSection } from '../section.js';
import { keepTogether, splitSentence } from '../text.js';

const signs: Readonly<Record<Verdict, { readonly role: string; readonly shape: string; readonly word: string }>> = {
  gain: { role: 'gain', shape: '<path d="M6 1 12 11H0Z"/>', word: 'Gain' },
  loss: { role: 'loss', shape: '<path d="M6 11 0 1H12Z"/>', word: 'Loss' },
  mixed: { role: 'unclear', shape: '<path d="M6 0 12 6 6 12 0 6Z"/>', word: 'Mixed' },
  'no clear change': { role: 'unclear', shape: '<path d="M0 2.5H12V5H0ZM0 7H12V9.5H0Z"/>', word: 'No clear change' },
  'cannot tell': { role: 'unclear', shape: '<path d="M0 5H3V7H0ZM4.5 5H7.5V7H4.5ZM9 5H12V7H9Z"/>', word: 'Cannot tell' },
};

/** First on the first screen: what was found. */
export const answerSection: ReportSection = {
  id: 'answer',
  title: 'What was found',
  render: (result) =>
    result.overall.length === 0
      ? [html`<p class="sentence">Nothing was compared: the trial has fewer than two setups.</p>`]
      : result.overall.map(answer),
};

function answer(overall: OverallResult): Html {
  const sign = signs[overall.verdict];
  const [first, rest] = splitSentence(overall.sentence);
  const startsWithVerdict = first.toLowerCase().startsWith(overall.verdict);
  const reasons = overall.reasons.map((reason) => shortName(reason.toLowerCase().replaceAll('_', ' '), 80));
  const glyph = trustedHtml(`<svg width="12" height="12" viewBox="0 0 12 12" aria-hidden="true">${sign.shape}</svg>`);
  return html`<div class="answer role-${sign.role}">
<p class="pair">${shortName(overall.after, 60)} <span class="muted">against</span> ${shortName(overall.before, 60)}</p>
<p class="sentence">${glyph}${startsWithVerdict ? null : html`<span class="verdict">${sign.word}.</span> `}${keepTogether(first)}</p>
<p class="rest">${keepTogether(rest)}${reasons.length === 0 ? null : html` <span class="muted">Considered: ${reasons.join(', ')}.</span>`}</p>
</div>`;
}
