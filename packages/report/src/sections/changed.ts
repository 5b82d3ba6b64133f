import type { ChangedBesides, ComparisonResult, TrialResult } from '@pullproof/core';
import { changeText, displayUnits, numberText } from '@pullproof/figures';
import { type Html, html, shortName } from '../html.js';
import type { ReportSection } from '../section.js';
import { tableBlock } from '../table.js';
import { asSentence, decimalsFor, plainName, unitsFor } from '../text.js';

const order: Readonly<Record<ChangedBesides['couldExplain'], number>> = {
  yes: 0,
  partly: 1,
  'cannot tell': 2,
  no: 3,
  'no clear change': 4,
};
const words: Readonly<Record<ChangedBesides['couldExplain'], string>> = {
  yes: 'could explain it',
  partly: 'could explain part of it',
  'cannot tell': 'cannot tell whether it explains it',
  no: 'cannot explain it',
  'no clear change': 'no clear change to explain',
};

const nothingElse = 'Nothing else that was logged or entered is known to have changed';
/** Up to this many comparisons stand in columns of their own; beyond it, those without a change share a line. */
const mostColumns = 3;

/** Third: what else was different and could explain the difference. What could not is named in one line. */
export const changedSection: ReportSection = {
  id: 'changed',
  title: 'What else changed',
  render: (result) => {
    if (result.comparisons.length === 0) return null;
    const named = result.comparisons.length > 1;
    const isListed = ({ changedBesides }: ComparisonResult): boolean =>
      changedBesides.length > 0 || result.comparisons.length <= mostColumns;
    const others = result.comparisons.filter((comparison) => !isListed(comparison));
    const pairs = others.map((comparison, index) => html`${index === 0 ? null : '; '}${pairText(comparison)}`);
    return [
      ...result.comparisons.filter(isListed).map((comparison) => html`<div>${changes(comparison, result, named)}</div>`),
      ...(result.comparisons.some(({ changedBesides }) => changedBesides.length > 0)
        ? [html`<p class="small"><a href="#${allChangesSection.id}">All that changed, and why it could or could not</a></p>`]
        : []),
      ...(others.length === 0 ? [] : [html`<p class="small">${nothingElse}: ${pairs}.</p>`]),
    ];
  },
};

/** The same in full, for the desk. */
export const allChangesSection: ReportSection = {
  id: 'all-changes',
  title: 'Everything else that changed',
  render: (result) => {
    const blocks = result.comparisons
      .filter((comparison) => comparison.changedBesides.length > 0)
      .map((comparison) => changeTable(comparison, result));
    return blocks.length === 0 ? null : blocks;
  },
};

function pairText({ after, before }: ComparisonResult): Html {
  return html`${shortName(after, 60)} <span class="muted">against</span> ${shortName(before, 60)}`;
}

function sorted({ changedBesides }: ComparisonResult): readonly ChangedBesides[] {
  return [...changedBesides].sort((left, right) => order[left.couldExplain] - order[right.couldExplain]);
}

function changes(comparison: ComparisonResult, result: TrialResult, severalPairs: boolean): Html {
  const all = sorted(comparison);
  const could = all.filter(({ couldExplain }) => couldExplain !== 'no' && couldExplain !== 'no clear change');
  const named = (answer: ChangedBesides['couldExplain']): string =>
    all
      .filter((change) => change.couldExplain === answer)
      .map((change) => `${shortName(plainName(change.quantity))} ${valuesText(change, result)}`.trim())
      .join('; ');
  const couldNot = named('no');
  const idle = named('no clear change');
  const heading = severalPairs ? html`<h3>${pairText(comparison)}</h3>` : null;
  if (all.length === 0) return html`${heading}<p class="small">${nothingElse}.</p>`;
  return html`${heading}${could.length === 0 ? null : html`<ul class="changed">${could.map((change) => html`<li>${changeLine(change, result)}</li>`)}</ul>`}
${couldNot.length === 0 ? null : html`<p class="small muted">Changed, but cannot explain it: ${couldNot}.</p>`}${idle.length === 0 ? null : html`<p class="small muted">Changed, but there is no clear change of power for it to explain: ${idle}.</p>`}`;
}

function amountText(change: ChangedBesides, result: TrialResult): string | null {
  const { power } = displayUnits[result.units];
  return change.couldExplainW === null ? null : `${changeText(power.fromSi(change.couldExplainW))} ${power.symbol}`;
}

/** Why, with the engine speeds that the answer is of. */
function reasonText({ reason, spanRpm }: ChangedBesides, longest: number): string {
  const why = shortName(reason, longest);
  return spanRpm === null || spanRpm === undefined ? why : `from ${numberText(spanRpm[0], 0)} to ${numberText(spanRpm[1], 0)} rpm: ${why}`;
}

function changeLine(change: ChangedBesides, result: TrialResult): Html {
  const amount = amountText(change, result);
  const values = valuesText(change, result);
  return html`<b>${shortName(plainName(change.quantity))}</b>${values === '' ? null : ` ${values}`}: <b>${words[change.couldExplain]}</b>${amount === null ? null : html`, about ${amount}`}. <span class="muted why">${asSentence(reasonText(change, 300))}</span>`;
}

function changeTable(comparison: ComparisonResult, result: TrialResult): Html {
  return html`<h3>${pairText(comparison)}</h3>${tableBlock(
    ['Quantity', 'Before → after', 'Could it explain the difference?', 'About', 'Why'],
    sorted(comparison).map((change) => [
      shortName(plainName(change.quantity)),
      valuesText(change, result),
      change.couldExplain === 'no clear change' ? words['no clear change'] : change.couldExplain,
      amountText(change, result) ?? '–',
      asSentence(reasonText(change, 400)),
    ]),
    { label: `What else changed: ${shortName(comparison.after, 60)} against ${shortName(comparison.before, 60)}` },
  )}`;
}

/** `100.5 → 107.1 °F`, with as many digits as the difference needs; nothing for a change that has no values. */
function valuesText(change: ChangedBesides, result: TrialResult): string {
  if (change.before === null && change.after === null) return '';
  const { value: unit } = unitsFor(change.unit, result);
  const [before, after] = [change.before, change.after].map((value) => (value === null ? null : unit.fromSi(value)));
  const known = before !== null && before !== undefined && after !== null && after !== undefined;
  const decimals = Math.min(4, decimalsFor(known ? Math.abs(after - before) : null, unit.decimals));
  const text = (value: number | null | undefined): string =>
    value === null || value === undefined ? 'not known' : numberText(value, decimals);
  return `${text(before)} → ${text(after)}${unit.symbol === '' ? '' : ` ${shortName(unit.symbol, 20)}`}`;
}
