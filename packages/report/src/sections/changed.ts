import type { ChangedBesides, ComparisonResult, TrialResult } from '@pullproof/core';
import { displayUnits, numberText } from '@pullproof/figures';
import { type Html, html, shortName } from '../html.js';
import type { ReportSection } from '../section.js';
import { decimalsFor, plainName, unitsFor } from '../text.js';

const order: Readonly<Record<ChangedBesides['couldExplain'], number>> = { yes: 0, partly: 1, 'cannot tell': 2, no: 3 };
const words: Readonly<Record<ChangedBesides['couldExplain'], string>> = {
  yes: 'could explain it',
  partly: 'could explain part of it',
  'cannot tell': 'cannot tell whether it explains it',
  no: 'cannot explain it',
};

/** Third: what else was different and could explain the difference. */
export const changedSection: ReportSection = {
  id: 'changed',
  title: 'What else changed',
  render: (result) => {
    if (result.comparisons.length === 0) return null;
    const named = result.comparisons.length > 1;
    return result.comparisons.map((comparison) => changes(comparison, result, named));
  },
};

function changes(comparison: ComparisonResult, result: TrialResult, named: boolean): Html {
  const sorted = [...comparison.changedBesides].sort((left, right) => order[left.couldExplain] - order[right.couldExplain]);
  const heading = named
    ? html`<h3>${shortName(comparison.after, 60)} <span class="muted">against</span> ${shortName(comparison.before, 60)}</h3>`
    : null;
  if (sorted.length === 0) return html`${heading}<p>Nothing else that was logged or entered is known to have changed.</p>`;
  return html`${heading}<ul class="changed">${sorted.map((change) => html`<li>${changeText(change, result)}</li>`)}</ul>`;
}

function changeText(change: ChangedBesides, result: TrialResult): Html {
  const power = displayUnits[result.units].power;
  const amount =
    change.couldExplainW === null
      ? null
      : html`, about ${numberText(power.fromSi(change.couldExplainW), power.decimals, { signed: true })} ${power.symbol}`;
  return html`<b>${shortName(plainName(change.quantity))}</b> ${valuesText(change, result)}: <b>${words[change.couldExplain]}</b>${amount}. <span class="muted">${change.reason}</span>`;
}

/** `100.5 → 107.1 °F`, with as many digits as the difference needs. */
export function valuesText(change: ChangedBesides, result: TrialResult): string {
  const { value: unit } = unitsFor(change.unit, result);
  const [before, after] = [change.before, change.after].map((value) => (value === null ? null : unit.fromSi(value)));
  const known = before !== null && before !== undefined && after !== null && after !== undefined;
  const decimals = Math.min(4, decimalsFor(known ? Math.abs(after - before) : null, unit.decimals));
  const text = (value: number | null | undefined): string =>
    value === null || value === undefined ? 'not known' : numberText(value, decimals);
  return `${text(before)} → ${text(after)}${unit.symbol === '' ? '' : ` ${shortName(unit.symbol, 20)}`}`;
}
