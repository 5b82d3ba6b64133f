import type { ChangedBesides, TrialResult } from '@pullproof/core';
import { displayUnits, numberText } from '@pullproof/figures';
import { amountText, changeOrder, valuesText } from '../changes.js';
import { type Html, html, shortName } from '../html.js';
import { asSentence, plainName } from '../text.js';

const nothingElse = 'Nothing else changed, as far as was logged or entered.';
/** So many are listed; what is behind them is in the topic. */
const mostListed = 3;

const answers: Readonly<Record<ChangedBesides['couldExplain'], string>> = {
  yes: 'yes',
  partly: 'partly',
  'cannot tell': 'cannot tell',
  no: 'no',
  'no clear change': 'power did not change there',
};

/** What else was different and could have made the difference; what could not is named in one line. */
export function couldBeWhy(result: TrialResult, index: number): Html {
  const comparison = result.comparisons[index]!;
  const all = [...comparison.changedBesides].sort((a, b) => changeOrder[a.couldExplain] - changeOrder[b.couldExplain]);
  const open = all.filter(({ couldExplain }) => couldExplain !== 'no' && couldExplain !== 'no clear change');
  const not = all.filter((change) => !open.includes(change));
  const heading = html`<h3>Could something else be why?</h3>`;
  const reasons = reasonsBeside(result, index);
  if (all.length + reasons.length === 0) return html`<div class="why">${heading}<p class="small">${nothingElse}</p></div>`;
  return html`<div class="why">${heading}
${reasons}
${open.length === 0 ? null : html`<ul class="changed">${open.slice(0, mostListed).map((change) => html`<li>${changeLine(change, result)}</li>`)}</ul>`}
${open.length > mostListed ? html`<p class="small">${open.length - mostListed} more: <a href="#changes">what else changed</a>.</p>` : null}
${not.length === 0 ? null : html`<p class="small muted">${open.length === 0 ? 'Changed, but not why' : 'Not why'}: ${namesOf(not)}.</p>`}</div>`;
}

/** Why nothing is claimed, as far as the sentence of the answer does not say it, and what would settle it. */
function reasonsBeside({ overall, units }: TrialResult, index: number): readonly Html[] {
  const one = overall[index];
  if (one === undefined || (one.verdict !== 'no clear change' && one.verdict !== 'cannot tell')) return [];
  const { power } = displayUnits[units];
  const told = (one.because ?? []).filter(({ sentence }) => !one.sentence.includes(sentence)).slice(0, mostListed);
  const least = one.couldShowW ?? null;
  return [
    ...told.map(
      ({ sentence, settle }) =>
        html`<p class="small">${asSentence(shortName(sentence, 200))}${settle === '' ? null : html` <b>To find out:</b> ${shortName(settle, 200)}`}</p>`,
    ),
    ...(least === null || /would not show/.test(one.sentence)
      ? []
      : [
          html`<p class="small muted">Under ${numberText(power.fromSi(least), power.fromSi(least) < 10 ? 1 : 0)} ${power.symbol} would not show.</p>`,
        ]),
  ];
}

function namesOf(changes: readonly ChangedBesides[]): string {
  return changes.map(({ quantity }) => shortName(plainName(quantity), 60)).join(', ');
}

function changeLine(change: ChangedBesides, result: TrialResult): Html {
  const amount = amountText(change, result);
  const values = valuesText(change, result);
  return html`<b>${shortName(plainName(change.quantity), 60)}</b>${values === '' ? null : ` ${values}`}: <b>${answers[change.couldExplain]}</b>${amount === null ? null : `, about ${amount}`}`;
}
