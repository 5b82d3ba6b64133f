import type { TrialResult } from '@pullproof/core';
import { numberText } from '@pullproof/figures';
import { html, shortName } from '../html.js';
import type { ReportSection } from '../section.js';
import { tableBlock } from '../table.js';

type SharpenInput = NonNullable<TrialResult['sharpen']>[number];

/** Inputs that would narrow a margin, one for each group that is entered together, what brings most first. */
export function sharpenGroups({
  sharpen = [],
}: TrialResult): readonly { readonly first: SharpenInput; readonly fields: readonly string[] }[] {
  const groups = new Map<string, SharpenInput[]>();
  for (const input of sharpen) groups.set(input.group, [...(groups.get(input.group) ?? []), input]);
  return [...groups.values()].map((inputs) => ({ first: inputs[0]!, fields: inputs.map(({ field }) => field) }));
}

const mostFields = 4;

/** What would sharpen the answer, and by how much. */
export const sharpenSection: ReportSection = {
  id: 'sharpen',
  title: 'What would narrow the margin',
  render: (result) => {
    const groups = sharpenGroups(result);
    if (groups.length === 0) return null;
    const percent = (share: number): string => `${numberText(100 * share, 1)}%`;
    return [
      tableBlock(
        ['Enter', 'Margin of', 'Now', 'Then', 'Field of the trial file'],
        groups.map(({ first, fields }) => [
          shortName(first.sentence, 200),
          first.of === 'difference' ? 'the difference' : 'the power itself',
          percent(first.marginNow),
          percent(first.marginThen),
          html`<code>${shortName(fields.slice(0, mostFields).join(', '), 200)}</code>${fields.length > mostFields ? ` and ${fields.length - mostFields} more` : ''}`,
        ]),
        { label: 'What would narrow the margin' },
      ),
    ];
  },
};
