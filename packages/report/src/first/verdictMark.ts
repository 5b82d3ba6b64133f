import type { OverallResult, Verdict } from '@pullproof/core';
import { type Html, html, shortName, trustedHtml } from '../html.js';
import { keepTogether } from '../text.js';

const looks: Readonly<Record<Verdict, { readonly role: string; readonly shape: string; readonly word: string }>> = {
  gain: { role: 'gain', shape: '<path d="M6 1 12 11H0Z"/>', word: 'Gain' },
  loss: { role: 'loss', shape: '<path d="M6 11 0 1H12Z"/>', word: 'Loss' },
  mixed: { role: 'unclear', shape: '<path d="M6 0 12 6 6 12 0 6Z"/>', word: 'Mixed' },
  'no clear change': { role: 'unclear', shape: '<path d="M0 2.5H12V5H0ZM0 7H12V9.5H0Z"/>', word: 'No clear change' },
  'cannot tell': { role: 'unclear', shape: '<path d="M0 5H3V7H0ZM4.5 5H7.5V7H4.5ZM9 5H12V7H9Z"/>', word: 'Cannot tell' },
};

/**
 * A verdict as it is shown everywhere: shape, colour and word, each enough by itself.
 * @param verdict its word stands in `data-verdict`
 * @param options `before`: a sentence that the verdict stands in front of, unless the sentence begins with it
 */
export function verdictMark(verdict: Verdict, options: { readonly before?: string } = {}): Html {
  const { role, shape, word } = looks[verdict];
  const sentence = options.before ?? '';
  const startsWithIt = sentence.toLowerCase().startsWith(verdict);
  const glyph = trustedHtml(`<svg class="sign" width="12" height="12" viewBox="0 0 12 12" aria-hidden="true">${shape}</svg>`);
  const own = html`<span class="verdict role-${role}" data-verdict="${verdict}">${glyph}${startsWithIt ? sentence.slice(0, verdict.length) : word}</span>`;
  if (sentence === '') return own;
  return startsWithIt ? html`${own}${keepTogether(sentence.slice(verdict.length))}` : html`${own}. ${keepTogether(sentence)}`;
}

/** After, then before, everywhere. */
export function pairText({ after, before }: Pick<OverallResult, 'before' | 'after'>): Html {
  return html`<b>${shortName(after, 60)}</b> <span class="muted">vs</span> ${shortName(before, 60)}`;
}
