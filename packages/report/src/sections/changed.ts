import type { ChangedBesides, ComparisonResult, TrialResult } from '@pullproof/core';
import { numberText } from '@pullproof/figures';
import { amountText, changeOrder, valuesText } from '../changes.js';
import { pairText } from '../first/verdictMark.js';
import { type Html, html, shortName } from '../html.js';
import type { ReportSection } from '../section.js';
import { tableBlock } from '../table.js';
import { asSentence, plainName } from '../text.js';

/** Everything that changed besides the part, with reasons. */
export const allChangesSection: ReportSection = {
  id: 'all-changes',
  title: 'Everything that changed, with reasons',
  render: (result) => {
    const blocks = result.comparisons
      .filter((comparison) => comparison.changedBesides.length > 0)
      .map((comparison) => changeTable(comparison, result));
    const explained = result.comparisons.filter(({ explanations }) => explanations !== undefined && explanations.length > 0);
    return blocks.length + explained.length === 0 ? null : [...blocks, ...explained.map(explanationTable)];
  },
};

/** Why, with the engine speeds that the answer is of. */
function reasonText({ reason, spanRpm }: ChangedBesides): string {
  const why = shortName(reason, 400);
  return spanRpm === null || spanRpm === undefined ? why : `from ${numberText(spanRpm[0], 0)} to ${numberText(spanRpm[1], 0)} rpm: ${why}`;
}

function changeTable(comparison: ComparisonResult, result: TrialResult): Html {
  const sorted = [...comparison.changedBesides].sort((a, b) => changeOrder[a.couldExplain] - changeOrder[b.couldExplain]);
  return html`<h3>${pairText(comparison)}</h3>${tableBlock(
    ['What', 'Before → after', 'Could this be why?', 'About', 'Reason'],
    sorted.map((change) => [
      shortName(plainName(change.quantity)),
      valuesText(change, result),
      change.couldExplain === 'no clear change' ? 'power did not change there' : change.couldExplain,
      amountText(change, result) ?? '–',
      asSentence(reasonText(change)),
    ]),
    { label: `What else changed: ${shortName(comparison.after, 60)} vs ${shortName(comparison.before, 60)}` },
  )}`;
}

const effects: Readonly<Record<NonNullable<ComparisonResult['explanations']>[number]['effect'], string>> = {
  'takes away': 'could make the difference by itself',
  'takes away with others': 'could make it together with others',
  'may hide': 'may hide a change',
  note: 'could not make it',
};

/** What could have made the difference without the part, with what would settle it. */
function explanationTable(comparison: ComparisonResult): Html {
  return html`<h3>${pairText(comparison)}: known, possible and unknown</h3>${tableBlock(
    ['What', 'How known', 'What it could do', 'To find out'],
    (comparison.explanations ?? []).map(({ sentence, standing, effect, takesRpm, settle }) => [
      asSentence(shortName(sentence, 300)),
      standing,
      `${effects[effect]}${takesRpm === undefined ? '' : `, ${numberText(takesRpm[0], 0)} to ${numberText(takesRpm[1], 0)} rpm`}`,
      shortName(settle, 300),
    ]),
    { label: `What could have made the difference: ${shortName(comparison.after, 60)} vs ${shortName(comparison.before, 60)}` },
  )}`;
}
